import { constantTerm, exactTerm } from '../workings/term.ts';
import type { BottleReader } from './bottle-reader.ts';
import { asFraction, asGramsPerMl } from './entered-value.ts';
import { asDensity, byMass, byVolume, relation } from './relation.ts';
import type { Part, Reading } from './relation.ts';
import { densityNote, readByVolume } from './solution-by-volume.ts';
import type { Strength } from './table-types.ts';

// The constant from memory; it is exact since 2019.
export const gasConstant = exactTerm(
  'R',
  'R',
  'gas constant',
  8.314462618,
  'CODATA 2018, exact',
  'J/(mol K)',
);
const normalTemperature = exactTerm('T0', 'T_{0}', '0 °C', 273.15, 'definition of oxygen volumes', 'K');
const normalPressure = exactTerm('p0', 'p_{0}', '1 atm', 101.325, 'definition of oxygen volumes', 'kPa');
const gramsPerKilogram = constantTerm(
  'k',
  'k',
  'grams in a kilogram',
  { value: 1000, unit: '1', standardUncertainty: 0, significantFigures: null },
  'definition',
);

/** How strong a solution is, as amount per volume and, where that can be told, per mass. */
export function readSolution(bottle: BottleReader, M: Part, strength: Strength): Reading {
  const { entered } = strength;
  switch (strength.kind) {
    case 'amount-concentration': {
      const c = bottle.strength(
        entered,
        'amount-concentration',
        'mol/L',
        'c',
        'c',
        'amount concentration of',
      );
      const shape = {
        unit: 'L',
        forward: 'c * V',
        forwardDisplay: 'n = c · V',
        backward: 'n / c',
        backwardDisplay: 'V = n / c',
      } as const;
      return readByVolume(bottle, strength, shape, [c]);
    }
    case 'mass-fraction': {
      const w = bottle.strength(
        entered,
        ['mass-fraction', 'fraction'],
        '% w/w',
        'w',
        'w',
        'mass fraction of',
        asFraction,
      );
      const rho = bottle.density(strength.density, 'supply.strength.density', 'density of the solution of');
      const notes = [
        'The strength was read as grams in 100 g of solution (% w/w).',
        ...densityNote(strength),
      ];
      return {
        massToAmount: relation({ ...byMass, notes }, [w, M]),
        volumeToAmount: relation({ ...byVolume, notes }, [rho, w, M]),
        density: asDensity(rho),
      };
    }
    case 'mass-per-volume': {
      const beta = bottle.strength(
        entered,
        ['mass-per-volume', 'density'],
        'g/mL',
        'beta',
        'β',
        'mass in one millilitre of the solution of',
        asGramsPerMl,
      );
      const shape = {
        unit: 'mL',
        forward: 'V * beta / M',
        forwardDisplay: 'n = V · β / M',
        backward: 'n * M / beta',
        backwardDisplay: 'V = n · M / β',
        notes: ['The strength was read as grams in 100 mL of solution (% w/v).'],
      } as const;
      return readByVolume(bottle, strength, shape, [beta, M]);
    }
    case 'volume-fraction': {
      const phi = bottle.strength(
        entered,
        ['volume-fraction', 'fraction'],
        '% v/v',
        'phi',
        'φ',
        'volume fraction of',
        asFraction,
      );
      const rho = bottle.density(
        strength.neatDensity,
        'supply.strength.neatDensity',
        'density of the pure liquid,',
      );
      const shape = {
        unit: 'mL',
        forward: 'V * phi * rho / M',
        forwardDisplay: 'n = V · φ · ρ / M',
        backward: 'n * M / (phi * rho)',
        backwardDisplay: 'V = n · M / (φ · ρ)',
        notes: [
          'The strength was read as millilitres of the pure liquid in 100 mL of the finished mixture (% v/v); the volumes of liquids do not add up exactly.',
        ],
      } as const;
      return readByVolume(bottle, strength, shape, [phi, rho, M]);
    }
    case 'molality': {
      const b = bottle.strength(entered, 'molality', 'mol/kg', 'b', 'b', 'molality of');
      const rho = bottle.density(strength.density, 'supply.strength.density', 'density of the solution of');
      const notes = [
        'Molality counts per kilogram of solvent; the mass measured out is that of the solution.',
        ...densityNote(strength),
      ];
      const mass = {
        unit: 'g',
        forward: 'm * b / (k + b * M)',
        forwardDisplay: 'n = m · b / (k + b · M)',
        backward: 'n * (k + b * M) / b',
        backwardDisplay: 'm = n · (k + b · M) / b',
        notes,
      } as const;
      const volume = {
        unit: 'mL',
        forward: 'V * rho * b / (k + b * M)',
        forwardDisplay: 'n = V · ρ · b / (k + b · M)',
        backward: 'n * (k + b * M) / (rho * b)',
        backwardDisplay: 'V = n · (k + b · M) / (ρ · b)',
        notes,
      } as const;
      return {
        massToAmount: relation(mass, [b, gramsPerKilogram, M]),
        volumeToAmount: relation(volume, [rho, b, gramsPerKilogram, M]),
        density: asDensity(rho),
      };
    }
    case 'normality': {
      const N = bottle.strength(entered, 'equivalent-concentration', 'eq/L', 'N', 'N', 'normality of');
      const z = bottle.factor(strength.equivalenceFactor);
      const shape = {
        unit: 'L',
        forward: 'N * V / z',
        forwardDisplay: 'n = N · V / z',
        backward: 'n * z / N',
        backwardDisplay: 'V = n · z / N',
        notes: ['The equivalents per mole belong to this reaction; in another they may differ.'],
      } as const;
      return readByVolume(bottle, strength, shape, [N, z]);
    }
    case 'parts-per-million': {
      const w = bottle.strength(
        entered,
        'parts-per-million',
        'ppm',
        'w',
        'w',
        'mass fraction of',
        asFraction,
      );
      const rho = bottle.density(strength.density, 'supply.strength.density', 'density of the solution of');
      const notes = ['Parts per million were read by mass.', ...densityNote(strength)];
      return {
        massToAmount: relation({ ...byMass, notes }, [w, M]),
        volumeToAmount: relation({ ...byVolume, notes }, [rho, w, M]),
        density: asDensity(rho),
      };
    }
    case 'parts-by-volume': {
      const c = bottle.strength(
        entered,
        'amount-concentration',
        'mol/L',
        'c',
        'c_{stock}',
        'amount concentration of the stock solution of',
      );
      const x = bottle.parts(strength.stockParts, 'stock');
      const y = bottle.parts(strength.waterParts, 'water');
      const shape = {
        unit: 'L',
        forward: 'c * V * x / (x + y)',
        forwardDisplay: 'n = c_{stock} · V · x / (x + y)',
        backward: 'n * (x + y) / (c * x)',
        backwardDisplay: 'V = n · (x + y) / (c_{stock} · x)',
        notes: [
          'x parts of the stock and y parts of water by volume, counted as if the volumes added up; the real volume is a little smaller, the mixture a little stronger.',
        ],
      } as const;
      return readByVolume(bottle, strength, shape, [c, x, y]);
    }
    case 'oxygen-volumes': {
      const x = bottle.strength(entered, 'oxygen-volumes', 'vol', 'x', 'x', 'volumes of oxygen from');
      const wrong = bottle.peroxide();
      const shape = {
        unit: 'L',
        forward: 'V * 2 * x * p0 / (R * T0)',
        forwardDisplay: 'n = V · 2 x p_{0} / (R T_{0})',
        backward: 'n * R * T0 / (2 * x * p0)',
        backwardDisplay: 'V = n R T_{0} / (2 x p_{0})',
        notes: [
          'x volumes of O_{2} at 0 °C and 1 atm come from one volume of the solution; 2 H_{2}O_{2} → 2 H_{2}O + O_{2}.',
        ],
      } as const;
      const parts = [x, normalPressure, gasConstant, normalTemperature, ...(wrong === null ? [] : [wrong])];
      return readByVolume(bottle, strength, shape, parts, 'pharmacopoeial usage of "volumes"; ideal gas law');
    }
  }
}
