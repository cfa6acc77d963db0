import { describe, expect, it } from 'vitest';
import { compoundById, compounds, rowFromCompound } from '../../../core/compounds/index.ts';
import { reagentRow } from '../../../core/contract/content-schema.ts';
import * as v from 'valibot';

const rowOf = (id: string, role: Parameters<typeof rowFromCompound>[1]['role'] = 'reactant') => {
  const compound = compoundById(id);
  if (compound === undefined) throw new Error(id);
  return rowFromCompound(compound, { id: 'row-1', role });
};

describe('rowFromCompound', () => {
  it('brings a liquid’s density with its temperature and leaves the assay open', () => {
    expect(rowOf('acetic-anhydride').supply).toEqual({
      kind: 'neat-liquid',
      density: { text: '1.082', unit: 'g/mL' },
      densityTemperature: { text: '20', unit: '°C' },
      assay: null,
    });
  });

  it('leaves open what stands on the bottle only', () => {
    expect(rowOf('benzoic-acid').supply).toEqual({ kind: 'solid', assay: null });
    expect(rowOf('hydrochloric-acid', 'reagent').supply).toEqual({ kind: 'solution', strength: null });
    expect(rowOf('nitrogen-dioxide', 'by-product').supply).toEqual({
      kind: 'gas',
      temperature: null,
      pressure: null,
    });
  });

  it('never passes the density of a solid or a melt off as a liquid’s', () => {
    for (const compound of compounds) {
      const { supply } = rowFromCompound(compound, { id: 'row-1', role: 'reactant' });
      if (compound.form === 'solid') expect(supply.kind, compound.id).toBe('solid');
      if (compound.form === 'liquid' && compound.density !== null) {
        expect(compound.density.note, compound.id).not.toContain('melt');
      }
    }
  });

  it('makes a row that the contract accepts for every compound', () => {
    for (const compound of compounds) {
      const row = rowFromCompound(compound, { id: 'row-1', role: 'reactant' });
      expect(v.safeParse(reagentRow, row).success, compound.id).toBe(true);
    }
  });
});
