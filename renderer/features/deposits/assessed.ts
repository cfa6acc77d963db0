import type { RecordCard } from '../../../core/contract/views.ts';

/** Something in it is countersigned, and nothing waits for a decision. Drafts do not hold a deposit up. */
export const isAssessed = (card: Pick<RecordCard, 'lockedCount' | 'waitingCount'>): boolean =>
  card.lockedCount > 0 && card.waitingCount === 0;
