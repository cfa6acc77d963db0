import { exactTerm } from '../workings/term.ts';
import type { BottleReader } from './bottle-reader.ts';
import { isBlank } from './entered-value.ts';
import { absent, asDensity, isBlocked, relation } from './relation.ts';
import type { Part, Reading, Relation } from './relation.ts';
import type { Strength } from './table-types.ts';

/** Amount from volume and back, each side one product in which `V` or `n` stands once. */
type Shape = Pick<Relation, 'forward' | 'forwardDisplay' | 'backward' | 'backwardDisplay'> & {
  readonly unit: 'mL' | 'L';
  readonly notes?: readonly string[];
};

const perLitre = exactTerm('thousand', '1000', 'millilitres in a litre', 1000, 'definition of the litre');

/** What is known of the temperature a solution's density belongs to; nothing while there is no density. */
export function densityNote({ density, densityTemperature }: Strength): readonly string[] {
  if (isBlank(density ?? null)) return [];
  const at = densityTemperature ?? null;
  return at === null || isBlank(at)
    ? ['The temperature the density belongs to was not entered.']
    : [`Density at ${at.text.trim()} ${at.unit}.`];
}

/**
 * A strength that counts per volume. With a density the solution can be weighed out as well: V = m/ρ
 * stands in the place of V. Without one only the weighing lacks something, so nothing is missing yet.
 *
 * @error within the reading: the codes of `parseEntered` and constant-zero for the density
 * @source definition of density: IUPAC Green Book, 3rd ed., 2.2 (from memory)
 */
export function readByVolume(
  bottle: BottleReader,
  strength: Strength,
  shape: Shape,
  parts: readonly Part[],
  citation?: string,
): Reading {
  const volumeToAmount = relation(shape, parts, citation);
  const density = strength.density ?? null;
  if (density === null || isBlank(density)) {
    return { massToAmount: absent, volumeToAmount, density: absent };
  }
  const rho = bottle.density(density, 'supply.strength.density', 'density of the solution of');
  // In a strength by volume of a liquid ρ is that of the pure liquid.
  const own: Part = isBlocked(rho) ? rho : { ...rho, key: 'rho_s', symbol: 'ρ_{sol}' };
  const isLitres = shape.unit === 'L';
  const volume = isLitres ? 'm / (thousand * rho_s)' : 'm / rho_s';
  const mass = {
    unit: 'g',
    forward: shape.forward.replace(/\bV\b/, `(${volume})`),
    forwardDisplay: shape.forwardDisplay.replace(/\bV\b/, '(m / ρ_{sol})'),
    backward: `${isLitres ? 'thousand * ' : ''}rho_s * ${shape.backward}`,
    backwardDisplay: shape.backwardDisplay.replace(/^V = /, 'm = ρ_{sol} · '),
    notes: [...(shape.notes ?? []), ...densityNote(strength)],
  } as const;
  return {
    massToAmount: relation(mass, [own, ...(isLitres ? [perLitre] : []), ...parts], citation),
    volumeToAmount,
    density: asDensity(rho),
  };
}
