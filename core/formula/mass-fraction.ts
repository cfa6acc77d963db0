import type { Formula } from './formula.ts';
import { derive } from '../workings/derive.ts';
import { exactTerm, workingTerm } from '../workings/term.ts';
import type { Working } from '../workings/working.ts';
import { atomTerm, molarMassOf } from './molar-mass.ts';

/**
 * Mass fraction of every element of a formula, in %, in the order they appear; isotopes of one
 * element stand apart. The uncertainties are small: an element's atomic weight stands above and
 * below the line, and the shared part cancels.
 *
 * @returns one working per element, id `mass-fraction:<formula>:<element>`
 * @source IUPAC Gold Book, mass fraction (from memory)
 */
export function elementMassFractions(formula: Formula): readonly Working[] {
  const whole = molarMassOf(formula);
  return formula.elements.map((one) => {
    const atom = atomTerm(one.element, one.massNumber);
    const name = `${one.massNumber ?? ''}${one.element}`;
    const working = derive({
      id: `mass-fraction:${formula.text}:${name}`,
      title: `Mass fraction of ${name} in ${formula.markup}`,
      symbol: `w(${name})`,
      formula: `100 * N * ${atom.key} / M`,
      display: `w = 100 · N · ${atom.symbol} / M`,
      terms: [
        exactTerm('N', 'N', `atoms of ${name} in the formula`, one.count, 'counted in the formula'),
        atom,
        workingTerm('M', 'M', 'molar mass', whole),
      ],
      unit: '%',
      citation: 'IUPAC Gold Book, mass fraction',
    });
    if (!working.ok) throw new Error(`mass fraction of ${name} in ${formula.text}: ${working.error.code}`);
    return working.value;
  });
}
