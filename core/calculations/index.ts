import type { Calculation } from './calculation.ts';
import { costPerGram } from './cost.ts';
import { adiabaticRise, freezingMixture, iceForCooling } from './cooling.ts';
import {
  mixedMelting,
  purityFromMelting,
  refractiveIndexAt20,
  stemCorrection,
  thermometerCalibration,
} from './melting.ts';
import { contraction, dropwiseAddition, mixingTwoStrengths, vesselSize } from './mixing.ts';
import { mixedSolvent } from './mixed-solvent.ts';
import { hydrateCrop, recrystallisation } from './recrystallisation.ts';
import {
  boilingAtPressure,
  boilingNearNormal,
  dryingToConstantMass,
  extraction,
  steamDistillation,
} from './separating.ts';
import { dilution, solutionFromSolid, solutionFromStock, strengthInOtherUnits } from './solutions.ts';
import { overallYield } from './stages.ts';

/** Every calculation beside the reagent table, in the order of the work. */
export const calculations: readonly Calculation[] = [
  solutionFromSolid,
  solutionFromStock,
  dilution,
  mixingTwoStrengths,
  contraction,
  strengthInOtherUnits,
  vesselSize,
  dropwiseAddition,
  iceForCooling,
  freezingMixture,
  adiabaticRise,
  extraction,
  steamDistillation,
  recrystallisation,
  mixedSolvent,
  hydrateCrop,
  dryingToConstantMass,
  thermometerCalibration,
  stemCorrection,
  purityFromMelting,
  mixedMelting,
  boilingAtPressure,
  boilingNearNormal,
  refractiveIndexAt20,
  overallYield,
  costPerGram,
];

const byId = new Map(calculations.map((one) => [one.id, one]));

/** @returns undefined for an id this program does not know (an entry from a newer one). */
export const calculationById = (id: string): Calculation | undefined => byId.get(id);
