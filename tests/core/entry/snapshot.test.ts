import { describe, expect, it } from 'vitest';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { snapshot } from '../../../core/entry/snapshot.ts';
import { canonical } from '../../../core/record/canonical.ts';
import { acetylation } from './make-entry.ts';

describe('snapshot', () => {
  const taken = snapshot(computeEntry(acetylation()));
  const byId = new Map(taken.lines.map((line) => [line.id, line]));

  it('puts the answers first', () => {
    expect(taken.lines.slice(0, 4).map((line) => line.id)).toEqual([
      'theoretical-yield:taken',
      'crude-yield',
      'pure-yield',
      'recovery',
    ]);
  });
  it('freezes value, uncertainty and unit as printed, with the workings’ lines', () => {
    const pure = byId.get('pure-yield');
    expect(pure).toMatchObject({ title: 'Pure yield', unit: '%' });
    expect(pure?.value).toMatch(/^79\.\d ± 0\.\d$/);
    expect(pure?.lines.join(' ')).toContain('m_{theo}');
  });
  it('keeps the sentences', () => {
    expect(byId.get('limiting-text:taken')?.value).toContain('salicylic acid limits');
    expect(byId.get('melting-text')?.value).toContain('proves neither identity nor purity');
    expect(byId.get('deviation:1')?.value).toContain('acetic anhydride');
  });
  it('keeps every working of the entry, each id once, and the engine’s name', () => {
    const computed = computeEntry(acetylation());
    for (const working of computed.workings) expect(byId.has(working.id)).toBe(true);
    expect(byId.size).toBe(taken.lines.length);
    expect(taken.engine).toContain('2021');
  });
  it('is plain data: the same again, and canonical JSON takes it', () => {
    expect(snapshot(computeEntry(acetylation()))).toEqual(taken);
    expect(JSON.parse(canonical(taken))).toEqual(taken);
  });
});
