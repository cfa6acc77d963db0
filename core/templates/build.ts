import { compoundById } from '../compounds/library.ts';
import { rowFromCompound } from '../compounds/row-from-compound.ts';
import { sources } from '../compounds/sources.ts';
import type { Entered } from '../quantity/quantity.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import type { HazardNote, PlannedStep, StepLimit } from '../record/content.ts';
import type { Measure, ReagentRow, RowRole, Strength, Supply } from '../reaction/table-types.ts';
import type { Compound } from '../compounds/compound.ts';
import type { Template, TemplateContent } from './template.ts';

const entered = (text: string, unit: UnitSymbol): Entered => ({ text, unit });

function known(id: string): Compound {
  const compound = compoundById(id);
  // A template that names a compound the library lacks is a bug in the template.
  if (compound === undefined) throw new Error(`no compound ${id}`);
  return compound;
}

/** How a row comes out of its bottle, as the label on it would say. */
type Bottle = (compound: Compound) => Supply;

/** @param assay % as on the label */
export const solid =
  (assay: string): Bottle =>
  () => ({ kind: 'solid', assay: entered(assay, '%') });

/** A liquid with the library's density at its temperature. @param assay % as on the label */
export const liquid =
  (assay: string): Bottle =>
  ({ density }) => ({
    kind: 'neat-liquid',
    density: density?.value ?? null,
    densityTemperature: density?.temperature ?? null,
    assay: entered(assay, '%'),
  });

const solution =
  (strength: Strength): Bottle =>
  () => ({ kind: 'solution', strength });

/** @param percent % w/w @param density of the solution, g/mL */
export const byWeight = (percent: string, density: string): Bottle =>
  solution({
    kind: 'mass-fraction',
    entered: entered(percent, '% w/w'),
    density: entered(density, 'g/mL'),
  });

/**
 * Density of a solution as a whole at 20 °C, g/mL. To two decimals, as the CRC Handbook's table of
 * concentrative properties has them for aqueous solutions (from memory, not checked against the print; those
 * of the acids and the alkali agree with `core/calculations/density-tables`); ethanol 96 % v/v: Perry's Handbook.
 */
const weighed = (density: string) => ({
  density: entered(density, 'g/mL'),
  densityTemperature: entered('20', '°C'),
});

/** Grams in 100 mL of solution. @param density of the solution at 20 °C, g/mL */
export const weightInVolume = (percent: string, density: string): Bottle =>
  solution({ kind: 'mass-per-volume', entered: entered(percent, '% w/v'), ...weighed(density) });

/**
 * Millilitres of the liquid in 100 mL of mixture, with the library's density of the pure liquid.
 *
 * @param density of the mixture at 20 °C, g/mL
 */
export const byVolume =
  (percent: string, density: string): Bottle =>
  (compound) =>
    solution({
      kind: 'volume-fraction',
      entered: entered(percent, '% v/v'),
      neatDensity: compound.density?.value ?? null,
      ...weighed(density),
    })(compound);

/** @param concentration mol/L @param density of the solution at 20 °C, g/mL */
export const molar = (concentration: string, density: string): Bottle =>
  solution({
    kind: 'amount-concentration',
    entered: entered(concentration, 'mol/L'),
    ...weighed(density),
  });

/** Hydrogen peroxide by volumes of oxygen. @param density of the solution at 20 °C, g/mL */
export const oxygenVolumes = (volumes: string, density: string): Bottle =>
  solution({ kind: 'oxygen-volumes', entered: entered(volumes, 'vol'), ...weighed(density) });

const coarse = 'balance-0.01';
/** @param text g @param instrument a balance reading 0.01 g unless said otherwise */
export const grams = (text: string, instrument: string = coarse): Measure => ({
  by: 'mass',
  entered: entered(text, 'g'),
  instrument,
});

/** The smallest measuring cylinder that holds it, class B, as a teaching bench has them. */
function cylinderFor(volumeMl: number): string {
  const capacity = [10, 25, 50, 100].find((one) => volumeMl <= one) ?? 250;
  return volumeMl < 3 ? 'graduated-pipette-usp-5' : `cylinder-iso-${capacity}-b`;
}

/** @param text mL */
export const millilitres = (text: string, instrument: string = cylinderFor(Number(text))): Measure => ({
  by: 'volume',
  entered: entered(text, 'mL'),
  instrument,
});

interface RowPlan {
  readonly id: string;
  readonly compound: string;
  readonly role: RowRole;
  readonly bottle: Bottle;
  readonly planned: Measure | null;
  /** As it is called here, when that differs from the library's name. */
  readonly name?: string;
  readonly equationFormula?: string;
  readonly remark?: string;
}

export function row(plan: RowPlan): ReagentRow {
  const compound = known(plan.compound);
  const plain = rowFromCompound(compound, { id: plan.id, role: plan.role });
  const supply = plan.bottle(compound);
  return {
    ...plain,
    name: plan.name ?? plain.name,
    equationFormula: plan.equationFormula ?? plain.equationFormula,
    supply,
    planned: plan.planned,
    remark: [plan.remark ?? '', densitySource(supply)].filter((part) => part !== '').join(' '),
  };
}

/** Where the density of a solution comes from, for those that `weighed` gave one. */
function densitySource(supply: Supply): string {
  if (supply.kind !== 'solution' || (supply.strength?.densityTemperature ?? null) === null) return '';
  return `Density: ${supply.strength?.kind === 'volume-fraction' ? 'Perry’s' : 'CRC'} Handbook.`;
}

/** The row that yields refer to; its mass is what is being worked out. */
export const productRow = (id: string, compound: string): ReagentRow =>
  row({ id, compound, role: 'product', bottle: solid('100'), planned: null });

export const liquidProductRow = (id: string, compound: string): ReagentRow =>
  row({ id, compound, role: 'product', bottle: liquid('100'), planned: null });

const range =
  (kind: StepLimit['kind'], unit: UnitSymbol) =>
  (from: string | null, to: string | null): StepLimit => ({
    kind,
    from: from === null ? null : entered(from, unit),
    to: to === null ? null : entered(to, unit),
  });

export const temperature = range('temperature', '°C');
export const duration = range('duration', 'min');
export const additionRate = range('addition-rate', 'mL/min');

interface StepPlan {
  readonly text: string;
  readonly minutes: string;
  readonly caution?: string;
  readonly limits?: readonly StepLimit[];
  readonly hold?: string;
}

/** Steps in order; their ids are their numbers within the template. */
export const steps = (...plans: readonly StepPlan[]): readonly PlannedStep[] =>
  plans.map((plan, index) => ({
    id: `step-${index + 1}`,
    text: plan.text,
    caution: plan.caution ?? '',
    limits: plan.limits ?? [],
    holdPoint: plan.hold ?? '',
    plannedMinutes: entered(plan.minutes, 'min'),
  }));

const unclassified =
  "no classification known to this template, which does not mean harmless; check the supplier's safety data sheet";

type HazardPlan = Partial<Pick<HazardNote, 'substance' | 'signalWord' | 'statements' | 'pictograms'>> & {
  /** Added to the source: what the statements hold for. */
  readonly note?: string;
};

/**
 * Hazards of a row as the library has them, or as stated for the strength in use. A substance without
 * a known classification is listed all the same, so that nobody takes its absence for safety.
 */
export function hazard(rowId: string | null, compoundId: string, plan: HazardPlan = {}): HazardNote {
  const { name, hazards } = known(compoundId);
  const source = hazards === null ? unclassified : sources[hazards.source];
  const note = plan.note ?? (plan.statements === undefined ? hazards?.note : undefined) ?? '';
  return {
    rowId,
    substance: plan.substance ?? name,
    signalWord: plan.signalWord ?? hazards?.signalWord ?? '',
    statements: plan.statements ?? hazards?.statements ?? [],
    pictograms: plan.pictograms ?? hazards?.pictograms ?? [],
    source: note === '' ? source : `${source}. ${note}`,
  };
}

/** Opens the precautions of every template. */
const deferring =
  'This sheet informs and reminds; it does not declare anything safe. Before starting, read the supplier’s safety data sheet of every substance listed, the risk assessment and the local rules. The person in charge of the laboratory decides; when something does not go as described, stop and ask.';
const always =
  'Eye protection and a laboratory coat from beginning to end; gloves that suit the substance when handling it, changed at once when wetted. Nothing is eaten, drunk or smelt at directly. Know where the eye wash, the shower, the extinguisher and the way out are.';

/** Precautions: what holds for every preparation, then what this one needs in particular. */
export const precautions = (...particular: readonly string[]): string =>
  [deferring, always, ...particular].join('\n\n');

const crc = sources.crc;

/** @param value °C as printed in the CRC Handbook @param note what the reader has to know */
export const meltingPoint = (value: string, note = ''): TemplateContent['literature'] => ({
  meltingRange: {
    from: entered(value, '°C'),
    to: null,
    source: note === '' ? crc : `${crc}; ${note}`,
  },
  boilingPoint: null,
  refractiveIndex: null,
});

/** @param boiling °C at 101.325 kPa @param index for the sodium D line @param at °C */
export const liquidConstants = (
  boiling: string,
  index: string,
  at: string,
): TemplateContent['literature'] => ({
  meltingRange: null,
  boilingPoint: { value: entered(boiling, '°C'), pressure: entered('101.325', 'kPa'), source: crc },
  refractiveIndex: { value: entered(index, '1'), temperature: entered(at, '°C'), source: crc },
});

export const noConstants: TemplateContent['literature'] = {
  meltingRange: null,
  boilingPoint: null,
  refractiveIndex: null,
};

/** @param text expected yield of pure product, % of theory; common practice, no source */
export const percent = (text: string): Entered => entered(text, '%');

export const defineTemplate = (
  template: Omit<Template, 'title' | 'content'> & { readonly content: TemplateContent },
): Template => ({ ...template, title: template.content.title });
