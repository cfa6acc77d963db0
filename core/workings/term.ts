import type { Contribution } from '../quantity/contribution.ts';
import { combined } from '../quantity/contribution.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type { UnitSymbol } from '../quantity/unit.ts';
import type { Working, WorkingTerm } from './working.ts';

const none: readonly Contribution[] = [];

const withUncertainty = (quantity: Quantity, contributions: readonly Contribution[]): Quantity =>
  contributions.length === 0 ? quantity : { ...quantity, standardUncertainty: combined(contributions) };

/**
 * A term that was typed. Its contributions say which bottle, balance or glass it came from; without
 * any, a known uncertainty counts as one source named by `where`.
 */
export const enteredTerm = (
  key: string,
  symbol: string,
  meaning: string,
  quantity: Quantity,
  where: string,
  contributions: readonly Contribution[] = none,
): WorkingTerm => ({
  key,
  symbol,
  meaning,
  quantity: withUncertainty(quantity, contributions),
  source: { kind: 'entered', where },
  contributions,
});

/** A term from a table or a standard. */
export const constantTerm = (
  key: string,
  symbol: string,
  meaning: string,
  quantity: Quantity,
  citation: string,
  contributions: readonly Contribution[] = none,
): WorkingTerm => ({
  key,
  symbol,
  meaning,
  quantity: withUncertainty(quantity, contributions),
  source: { kind: 'constant', citation },
  contributions,
});

/** A counted or defined number: a coefficient, a number of portions. It limits no digits. */
export const exactTerm = (
  key: string,
  symbol: string,
  meaning: string,
  value: number,
  citation: string,
  unit: UnitSymbol = '1',
): WorkingTerm => ({
  key,
  symbol,
  meaning,
  quantity: { value, unit, standardUncertainty: 0, significantFigures: null },
  source: { kind: 'constant', citation },
  contributions: none,
});

/** The result of an earlier working, with all that it rests on, unrounded. */
export const workingTerm = (key: string, symbol: string, meaning: string, working: Working): WorkingTerm => ({
  key,
  symbol,
  meaning,
  quantity: working.result,
  source: { kind: 'working', id: working.id },
  contributions: working.contributions,
});
