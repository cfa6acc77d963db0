import type { RowRole } from '../../../../core/reaction/table-types.ts';

export const roleNames: Readonly<Record<RowRole, string>> = {
  reactant: 'reactant',
  reagent: 'reagent',
  catalyst: 'catalyst',
  solvent: 'solvent',
  'work-up': 'work-up',
  'drying-agent': 'drying agent',
  product: 'product',
  'by-product': 'by-product',
};
