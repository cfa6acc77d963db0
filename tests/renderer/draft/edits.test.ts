import { describe, expect, it } from 'vitest';
import type { EntryContent } from '../../../core/record/content.ts';
import { contentFromTemplate, templates } from '../../../core/templates/index.ts';
import { scaleByFactor } from '../../../core/reaction/scale.ts';
import {
  addCompoundRow,
  moveRow,
  moved,
  patchRow,
  removeHazard,
  removeRow,
  replacePlanned,
  set,
  setRole,
  type Restructuring,
} from '../../../renderer/draft/edits.ts';
import {
  moveStep,
  patchRecord,
  recordOf,
  removeReading,
  removeStep,
} from '../../../renderer/draft/step-edits.ts';
import { newReading } from '../../../renderer/draft/readings.ts';
import { markAt } from '../../../renderer/draft/time-marks.ts';

const contents: readonly (readonly [string, EntryContent])[] = templates.map((template) => {
  let id = 0;
  return [template.id, contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` })];
});
const mark = markAt(Date.parse('2026-03-12T14:00:00Z'));

/** Every structural change that can be made to an entry, one of each kind. */
function changes(content: EntryContent): readonly (readonly [string, Restructuring | null])[] {
  const row = content.rows[1]!.id;
  const step = content.steps[1]!.id;
  const doubled = scaleByFactor(content.rows, 2);
  return [
    ['removes a row', removeRow(content, row)],
    ['removes the product', removeRow(content, content.productRowId!)],
    ['moves a row', moveRow(content, row, 1)],
    ['removes a step', removeStep(content, step)],
    ['moves a step', moveStep(content, step, -1)],
    ['removes hazards', removeHazard(content, 0)],
    ['scales', doubled.ok ? replacePlanned(content, doubled.value.rows, 'x') : null],
  ];
}

describe.each(contents)('taking back a change of structure: %s', (_, content) => {
  it.each(changes(content))('%s, and restores the entry to the letter', (_name, change) => {
    expect(change).not.toBeNull();
    const after = change!.apply(content);
    expect(after).not.toEqual(content);
    expect(change!.revert(after)).toEqual(content);
  });

  it.each(changes(content))('%s, and keeps what was typed since', (_name, change) => {
    const typed = set('discussion', 'typed afterwards')(change!.apply(content));
    expect(change!.revert(typed)).toEqual(set('discussion', 'typed afterwards')(content));
  });
});

describe('setRole', () => {
  const [, content] = contents[0]!;
  const product = content.productRowId!;
  const other = content.rows.find((row) => row.id !== product)!.id;

  it('lets the yields refer to the first product there is, and to none when it is one no more', () => {
    const none = setRole(product, 'reagent')(content);
    expect(none.productRowId).toBeNull();
    expect(setRole(other, 'product')(none).productRowId).toBe(other);
    expect(setRole(other, 'by-product')(none).productRowId).toBeNull();
  });

  it('leaves the main product where it is when a second one comes', () => {
    const both = setRole(other, 'product')(content);
    expect(both.productRowId).toBe(product);
    expect(both.rows.find((row) => row.id === other)?.role).toBe('product');
  });
});

describe('removeRow', () => {
  it('says which steps still mention the row', () => {
    const [, content] = contents.find(([id]) => id === 'acetylsalicylic-acid')!;
    const mentioned = content.rows.find((row) =>
      content.steps.some((step) => step.text.includes(`:${row.id}}`)),
    )!;
    expect(removeRow(content, mentioned.id)?.label).toMatch(/; steps? \d.* still mentions? it$/);
  });
});

describe('removeStep', () => {
  it('takes what was noted at the step along, brings it back, and leaves its free notes with the preparation', () => {
    const [, content] = contents[0]!;
    const stepId = content.steps[0]!.id;
    const reading = newReading('r', 'temperature', { text: '70', unit: '°C' }, mark);
    const noted: EntryContent = {
      ...patchRecord(stepId, { readings: [reading], seen: 'clear' })(content),
      notes: [{ id: 'n', stepId, text: 'bench 3', mark }],
    };
    const change = removeStep(noted, stepId)!;
    const after = change.apply(noted);
    expect(after.stepRecords).toEqual([]);
    expect(after.notes).toEqual([{ id: 'n', stepId: null, text: 'bench 3', mark }]);
    expect(change.revert(after)).toEqual(noted);
    const without = removeReading(noted, stepId, 'r')!.apply(noted);
    expect(recordOf(without, stepId).readings).toEqual([]);
    expect(removeReading(noted, stepId, 'r')!.revert(without)).toEqual(noted);
  });
});

describe('moved', () => {
  const list = [{ id: 'a' }, { id: 'b' }, { id: 'c' }];
  it('stops at either end and leaves an unknown id alone', () => {
    expect(moved(list, 'a', -1)).toEqual(list);
    expect(moved(list, 'c', 1)).toEqual(list);
    expect(moved(list, 'x', 1)).toEqual(list);
    expect(moved(list, 'a', 1).map((one) => one.id)).toEqual(['b', 'a', 'c']);
  });
});

describe('a row picked from the department’s own compounds', () => {
  const [, content] = contents[0]!;
  const picked = {
    ...content.rows[0]!,
    id: 'own-row',
    name: 'propyl pentanoate',
    valuesFrom: 'the department',
  };
  const liquid = {
    kind: 'neat-liquid',
    density: { text: '0.870', unit: 'g/mL' },
    densityTemperature: { text: '20', unit: '°C' },
    assay: null,
  } as const;
  const hazard = {
    rowId: 'own-row',
    substance: 'propyl pentanoate',
    signalWord: 'Warning',
    statements: ['H226'],
    pictograms: ['GHS02'],
    source: 'the department',
  } as const;
  const rowOf = (now: EntryContent) => now.rows.find(({ id }) => id === 'own-row')!;

  it('brings its hazards once, and takes back what it brought', () => {
    const adding = addCompoundRow({ ...picked, supply: liquid }, 0, hazard);
    const added = adding.apply(content);
    expect(added.hazards).toEqual([...content.hazards, hazard]);
    expect(adding.revert(added)).toEqual(content);
    const second = addCompoundRow({ ...picked, id: 'second' }, 0, { ...hazard, rowId: 'second' });
    expect(second.apply(added).hazards).toEqual(added.hazards);
  });

  it('says where its values come from until one of them is changed by hand', () => {
    const added = addCompoundRow({ ...picked, supply: liquid }, 0, null).apply(content);
    const kept = patchRow('own-row', { supply: { ...liquid, assay: { text: '98', unit: '%' } } })(added);
    expect(rowOf(kept).valuesFrom).toBe('the department');
    expect(rowOf(patchRow('own-row', { remark: 'bottle 3' })(kept)).valuesFrom).toBe('the department');
    for (const patch of [
      { supply: { ...liquid, density: { text: '0.875', unit: 'g/mL' } } },
      { supply: { ...liquid, densityTemperature: null } },
      { formula: 'C8H16O3' },
      { smiles: null },
    ] as const) {
      expect(rowOf(patchRow('own-row', patch)(kept))).not.toHaveProperty('valuesFrom');
    }
  });
});
