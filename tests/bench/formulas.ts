import { MF } from 'mf-parser';
import { balance } from '../../core/equation/balance.ts';
import { parseEquation } from '../../core/equation/parse-equation.ts';
import { molarMass, molarMassOf } from '../../core/formula/molar-mass.ts';
import type { Formula } from '../../core/formula/formula.ts';
import { parseFormula } from '../../core/formula/parse-formula.ts';

/** 10,000 different formulas, so that no cache of texts helps either side. */
function formulas(): string[] {
  const list: string[] = [];
  for (let c = 1; c <= 100; c += 1) {
    for (let h = 1; h <= 100; h += 1)
      list.push(`C${c}H${h}N${((c + h) % 7) + 1}O${((c * h) % 9) + 1}(CH3)${(c % 3) + 1}`);
  }
  return list;
}

const median = (values: number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;

function timed(runs: number, work: () => void): number {
  work();
  return median(
    Array.from({ length: runs }, () => {
      const start = performance.now();
      work();
      return performance.now() - start;
    }),
  );
}

/** Medians of several pieces of work, run one after the other in each round. */
function inTurn(rounds: number, works: readonly (() => void)[]): number[] {
  const times = works.map((): number[] => []);
  for (let round = -3; round < rounds; round += 1) {
    for (const [index, work] of works.entries()) {
      const start = performance.now();
      work();
      if (round >= 0) times[index]?.push(performance.now() - start);
    }
  }
  return times.map((list) => median(list));
}

// Equations that textbooks and puzzle collections use to try balancing (from memory).
const redox =
  'H2 + Ca(CN)2 + NaAlF4 + FeSO4 + MgSiO3 + KI + H3PO4 + PbCrO4 + BrCl + CF2Cl2 + SO2 -> PbBr2 + CrCl3 + MgCO3 + KAl(OH)4 + Fe(SCN)3 + PI3 + Na2SiO3 + CaF2 + H2O';
const permanganate = 'MnO4^- + H2C2O4 + H^+ -> CO2 + Mn^2+ + H2O';
const ferrocyanide = 'K4Fe(CN)6 + KMnO4 + H2SO4 -> KHSO4 + Fe2(SO4)3 + MnSO4 + HNO3 + CO2 + H2O';
// Made up for this bench from salts that exist: eleven elements, twelve species, one set of coefficients.
const doubleComplex =
  '[Co(NH3)4BrCl]4[Fe(CN)6] + KMnO4 + H2SO4 -> CoSO4 + Fe2(SO4)3 + CO2 + KNO3 + MnSO4 + K2SO4 + H2O + Br2 + Cl2';

function balanceText(text: string): void {
  const equation = parseEquation(text);
  if (!equation.ok) throw new Error(`cannot read ${text}: ${equation.error.code}`);
  const { kind } = balance(equation.value);
  if (kind === 'impossible') throw new Error(`cannot balance ${text}`);
}

/** Formulas beside mf-parser in the same run, and balancing. */
export default async function formulaBench() {
  const list = formulas();
  const through = (mass: (formula: Formula) => unknown) => () => {
    for (const text of list) {
      const formula = parseFormula(text);
      if (!formula.ok) throw new Error(text);
      mass(formula.value);
    }
  };
  const theirs = (): void => {
    for (const text of list) void new MF(text).getInfo().mass;
  };
  // In turn, so that a machine that slows down slows all of them.
  const [ours = 0, explained = 0, other = 0] = inTurn(21, [through(molarMass), through(molarMassOf), theirs]);
  return await Promise.resolve({
    name: 'formulas and equations',
    rows: [
      { label: '10,000 formulas read and massed, with uncertainty', value: ours, unit: 'ms' },
      { label: 'the same, each with its working', value: explained, unit: 'ms' },
      { label: '10,000 formulas read and massed by mf-parser', value: other, unit: 'ms' },
      { label: 'ratio, read and massed with uncertainty ÷ mf-parser', value: ours / other, unit: '×' },
      {
        label: 'balancing permanganate and oxalic acid',
        value: timed(25, () => balanceText(permanganate)),
        unit: 'ms',
      },
      {
        label: 'balancing ferrocyanide and permanganate, nine species',
        value: timed(25, () => balanceText(ferrocyanide)),
        unit: 'ms',
      },
      {
        label: 'balancing a double complex and permanganate, twelve species',
        value: timed(25, () => balanceText(doubleComplex)),
        unit: 'ms',
      },
      { label: 'balancing twenty species', value: timed(25, () => balanceText(redox)), unit: 'ms' },
    ],
  });
}
