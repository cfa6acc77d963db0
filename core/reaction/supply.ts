import { molarMassWorking } from '../formula/molar-mass.ts';
import { BottleReader } from './bottle-reader.ts';
import { isBlank } from './entered-value.ts';
import { absent, asDensity, byMass, byVolume, isBlocked, relation } from './relation.ts';
import type { Part, Reading, SupplyReading } from './relation.ts';
import { gasConstant, readSolution } from './solution.ts';
import type { ReagentRow, Supply } from './table-types.ts';

function readKind(bottle: BottleReader, M: Part, supply: Supply): Reading {
  switch (supply.kind) {
    case 'solid':
      return {
        massToAmount: relation(byMass, [bottle.assay(supply.assay), M]),
        volumeToAmount: absent,
        density: absent,
      };
    case 'neat-liquid': {
      const w = bottle.assay(supply.assay);
      const rho = bottle.density(supply.density, 'supply.density');
      const at = supply.densityTemperature;
      const notes = [
        at === null || isBlank(at)
          ? 'The temperature the density belongs to was not entered.'
          : `Density at ${at.text.trim()} ${at.unit}.`,
      ];
      return {
        massToAmount: relation(byMass, [w, M]),
        volumeToAmount: relation({ ...byVolume, notes }, [rho, w, M]),
        density: asDensity(rho),
      };
    }
    case 'solution': {
      if (supply.strength === null) {
        const none = bottle.noStrength();
        return { massToAmount: none, volumeToAmount: none, density: none };
      }
      return readSolution(bottle, M, supply.strength);
    }
    case 'gas': {
      const T = bottle.temperature(supply.temperature);
      const p = bottle.pressure(supply.pressure);
      const volume = {
        unit: 'L',
        forward: 'p * V / (R * T)',
        forwardDisplay: 'n = p · V / (R · T)',
        backward: 'n * R * T / p',
        backwardDisplay: 'V = n · R · T / p',
        notes: ['Counted as an ideal and pure gas.'],
      } as const;
      const mass = {
        unit: 'g',
        forward: 'm / M',
        forwardDisplay: 'n = m / M',
        backward: 'n * M',
        backwardDisplay: 'm = n · M',
        notes: ['Counted as a pure gas.'],
      } as const;
      return {
        massToAmount: relation(mass, [M]),
        volumeToAmount: relation(
          volume,
          [p, gasConstant, T],
          'ideal gas law; any text on physical chemistry',
        ),
        density: absent,
      };
    }
  }
}

/**
 * What a row's formula and bottle say. The mass and volume of a solution or an impure substance are
 * those of what is measured out, not of the substance in it.
 *
 * @error within the reading, each naming its field: the codes of `parseFormula` and `parseEntered`,
 *   missing-assay, missing-density, missing-neat-density, missing-strength,
 *   missing-equivalence-factor, missing-parts, missing-temperature, missing-pressure, constant-zero,
 *   oxygen-volumes-not-peroxide
 * @source n = m w/M = V ρ w/M = c V: IUPAC Green Book, 3rd ed., 2.10 (from memory)
 */
export function readSupply(row: ReagentRow): SupplyReading {
  const bottle = new BottleReader(row);
  const M = bottle.molarMass();
  const reading = readKind(bottle, M, row.supply);
  const working = isBlocked(M) ? null : molarMassWorking(row.formula);
  return {
    ...reading,
    molarMass: working?.ok === true ? working.value : null,
    problems: bottle.problems,
  };
}
