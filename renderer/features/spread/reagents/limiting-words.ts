import { percentText } from '../../../../core/reaction/limiting-reagent.ts';
import type { LimitingVerdict } from '../../../../core/reaction/table-types.ts';

export interface LimitingWords {
  readonly words: string;
  readonly isCertain: boolean;
}

/** The mark in a row: "limiting", or "limiting? 63 %" where measuring cannot tell it from the next. */
export function limitingMark(verdict: LimitingVerdict, rowId: string): LimitingWords | null {
  if (verdict.state !== 'found') return null;
  const probability = verdict.runnerUp?.probability ?? null;
  if (verdict.rowId === rowId) {
    if (verdict.isCertain) return { words: 'limiting', isCertain: true };
    const sure = probability === null ? '' : ` ${percentText(probability)}`;
    return { words: `limiting?${sure}`, isCertain: false };
  }
  if (!verdict.isCertain && verdict.runnerUp?.rowId === rowId) {
    const sure = probability === null ? '' : ` ${percentText(1 - probability)}`;
    return { words: `or this?${sure}`, isCertain: false };
  }
  return null;
}
