import type { Hazards } from './compound.ts';
import type { GhsPictogram } from './ghs.ts';

interface AnnexViDetails {
  /** What has to be known beside the codes: concentration limits, the organ, the form that is meant. */
  readonly note?: string;
  /** Precautionary statements, a usual choice: the annex gives none. */
  readonly precautions?: readonly string[];
  /** Statements that suppliers print in addition; the pictograms take account of them. */
  readonly suppliers?: readonly string[];
}

const joined = (codes: readonly string[]): string =>
  codes.length < 2 ? codes.join('') : `${codes.slice(0, -1).join(', ')} and ${codes.at(-1)}`;

/** H codes by number, EUH codes after them, as on a label. */
const inOrder = (codes: readonly string[]): readonly string[] => {
  const h = codes.filter((code) => !code.startsWith('EUH')).toSorted();
  return [...h, ...codes.filter((code) => code.startsWith('EUH')).toSorted()];
};

/**
 * A harmonised classification as the law lists it, with the index number of its entry in the note, so
 * that anybody can look it up.
 *
 * Statements are those of the classification column without the ones that another on the label already
 * says. An asterisk of the table (minimum classification) is not repeated: it changes no code.
 *
 * @param index index number, `607-705-00-8`
 * @source Regulation (EC) No 1272/2008, Annex VI, Table 3
 */
export function annexVi(
  index: string,
  signalWord: Hazards['signalWord'],
  pictograms: readonly GhsPictogram[],
  statements: readonly string[],
  { note = '', precautions = [], suppliers = [] }: AnnexViDetails = {},
): Hazards {
  const added =
    suppliers.length === 0
      ? ''
      : `${joined(suppliers)} ${suppliers.length > 1 ? 'are' : 'is'} added by suppliers.`;
  return {
    signalWord,
    pictograms,
    statements: inOrder([...statements, ...suppliers]),
    precautions,
    source: 'clp-annex-vi',
    note: [`Index number ${index}.`, note, added].filter((part) => part !== '').join(' '),
  };
}
