import * as v from 'valibot';
import { incompatibilityGroups, type IncompatibilityGroup } from '../compounds/incompatibility.ts';
import { compoundFamilies } from '../compounds/own-compound.ts';
import type { OwnCompoundContent } from '../compounds/own-compound.ts';
import { listOf } from './parts.ts';

/** One saved form of a compound of the department's own. The newest `n` is the one in use. */
export interface OwnCompoundView {
  /** Of the compound; the same for all its forms. */
  readonly id: string;
  readonly n: number;
  /** Offered in no search any more. */
  readonly isWithdrawn: boolean;
  readonly content: OwnCompoundContent;
  readonly author: string;
  readonly initials: string;
  readonly at: string;
  readonly offsetMinutes: number;
  readonly reason: string;
}

/** A box of the form: one line. */
const box = v.pipe(v.string(), v.maxLength(300));
const source = v.pipe(v.string(), v.maxLength(600));
const note = v.pipe(v.string(), v.maxLength(600));
const sourced = { source, note };
const range = { from: box, to: box, ...sourced };
const valueAt = v.strictObject({ value: box, temperature: box, ...sourced });
const code = v.pipe(v.string(), v.maxLength(60));

export const ownCompoundContent = v.strictObject({
  format: v.literal('fairleaf-compound/1'),
  name: box,
  synonyms: listOf(box, 30),
  family: v.picklist(['', ...compoundFamilies]),
  formula: box,
  smiles: v.pipe(v.string(), v.maxLength(1_000)),
  registryNumber: box,
  form: v.picklist(['', 'solid', 'liquid', 'gas', 'solution']),
  melting: v.strictObject(range),
  boiling: v.strictObject({ ...range, pressureKpa: box }),
  density: valueAt,
  refractiveIndex: valueAt,
  heatOfFusion: v.strictObject({ value: box, ...sourced }),
  acidities: listOf(valueAt, 6),
  solubilities: listOf(
    v.strictObject({
      solvent: box,
      points: listOf(v.strictObject({ temperature: box, solubility: box }), 20),
      ...sourced,
    }),
    20,
  ),
  stockStrengths: listOf(v.strictObject({ percent: box, density: box, temperature: box, ...sourced }), 20),
  hazards: v.strictObject({
    signalWord: v.picklist(['', 'Danger', 'Warning']),
    pictograms: listOf(code, 9),
    statements: listOf(code, 40),
    precautions: listOf(code, 40),
    ...sourced,
  }),
  storage: v.strictObject({
    group: v.picklist(['', ...(Object.keys(incompatibilityGroups) as IncompatibilityGroup[])]),
    text: note,
    source,
  }),
});

export const ownCompoundView = v.strictObject({
  id: v.string(),
  n: v.number(),
  isWithdrawn: v.boolean(),
  content: ownCompoundContent,
  author: v.string(),
  initials: v.string(),
  at: v.string(),
  offsetMinutes: v.number(),
  reason: v.string(),
});
