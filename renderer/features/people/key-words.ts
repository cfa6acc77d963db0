import type { KeyView, SealView } from '../../../core/contract/views.ts';
import { dayOf } from '../../components/moment.ts';

/** How somebody's keys stand, in a few words for the end of their line; empty where nothing need be said. */
export function keyLine(keys: readonly KeyView[]): { readonly words: string; readonly isWarning: boolean } {
  const [key] = keys;
  if (key === undefined) return { words: 'no key', isWarning: true };
  switch (key.standing) {
    case 'in-use':
      return { words: `certified until ${dayOf(key.notAfter)}`, isWarning: false };
    case 'ends-soon':
      return { words: `certificate ends ${dayOf(key.notAfter)}`, isWarning: true };
    case 'ended':
      return { words: `certificate ended ${dayOf(key.notAfter)}`, isWarning: true };
    case 'retired':
      return { words: `account closed ${dayOf(key.at ?? '')}`, isWarning: false };
    case 'compromised':
      return { words: `in wrong hands since ${dayOf(key.since ?? '')}`, isWarning: true };
  }
}

export const isPast = ({ standing }: KeyView): boolean =>
  standing === 'retired' || standing === 'compromised';

export const isInUse = (key: KeyView | undefined): key is KeyView => key !== undefined && !isPast(key);

/** What became of a key that is not used any more. */
export const pastKeyWords = (key: KeyView): string =>
  key.standing === 'compromised'
    ? `in wrong hands since ${dayOf(key.since ?? '')}`
    : `retired ${dayOf(key.at ?? '')}; what it signed stays good`;

export function sealLine(seal: SealView): string {
  switch (seal.standing) {
    case 'in-use':
      return `good until ${dayOf(seal.notAfter)}`;
    case 'ends-soon':
      return `ends ${dayOf(seal.notAfter)}: make a new one`;
    case 'ended':
      return `ended ${dayOf(seal.notAfter)}: make a new one`;
    case 'retired':
      return `retired ${dayOf(seal.retiredAt ?? '')}; what it sealed stays sealed`;
  }
}
