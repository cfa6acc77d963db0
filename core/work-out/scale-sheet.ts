import type { Sheet } from '../contract/sheet.ts';
import type { Entered } from '../quantity/quantity.ts';
import type { TableInput } from '../reaction/reagent-table.ts';
import { scaleByFactor, scaleToAvailable, scaleToProductMass } from '../reaction/scale.ts';
import type { Scaled } from '../reaction/scale.ts';
import type { Result, Problem } from '../result.ts';
import type { SheetReader } from './read-sheet.ts';

/**
 * The plan of a sheet at the size it asks for.
 *
 * @returns null when it asks for none, or when a quantity of it cannot be read (the reader has said so)
 * @error the codes of `scaleByFactor`, `scaleToProductMass` and `scaleToAvailable`
 */
export function scaledPlan(
  { scale, expectedYield }: Sheet,
  input: TableInput,
  reader: SheetReader,
): Result<Scaled, Problem> | null {
  if (scale === undefined) return null;
  const read = (text: string, where: string): Entered | null => reader.quantity(text, where);
  switch (scale.to) {
    case 'factor':
      return scaleByFactor(input.rows, scale.factor);
    case 'product': {
      const mass = read(scale.mass, 'scale.mass');
      const share = reader.quantity(expectedYield, 'expectedYield');
      return mass === null ? null : scaleToProductMass(input, mass, share);
    }
    case 'available': {
      const left = read(scale.quantity, 'scale.quantity');
      return left === null ? null : scaleToAvailable(input, scale.row, left);
    }
  }
}
