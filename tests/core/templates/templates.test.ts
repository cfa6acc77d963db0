import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { compoundById, ghsPictograms, statementText } from '../../../core/compounds/index.ts';
import { entryContent } from '../../../core/contract/content-schema.ts';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { balance } from '../../../core/equation/balance.ts';
import { parseEquation } from '../../../core/equation/parse-equation.ts';
import { fillStepText } from '../../../core/procedure/fill-step-text.ts';
import { planSession } from '../../../core/procedure/session-plan.ts';
import { parseEntered } from '../../../core/quantity/entered.ts';
import type { Entered } from '../../../core/quantity/quantity.ts';
import type { StepLimit } from '../../../core/record/content.ts';
import type { Cell } from '../../../core/reaction/table-types.ts';
import { contentFromTemplate, templateById, templates } from '../../../core/templates/index.ts';
import type { Template } from '../../../core/templates/index.ts';

const counter = () => {
  let last = 0;
  return () => `id-${(last += 1)}`;
};
const begun = (template: Template) => contentFromTemplate(template, { date: '2026-03-02', newId: counter() });
const each = templates.map((template) => [template.title, template] as const);
const known = (cell: Cell | undefined): number => {
  if (cell?.state !== 'known') throw new Error(`cell is ${cell?.state ?? 'missing'}`);
  return cell.quantity.value;
};

describe('the procedure templates', () => {
  it('are the eight of the programme, each found by its id', () => {
    expect(templates.map(({ id }) => id).sort()).toEqual([
      'acetylsalicylic-acid',
      'adipic-acid',
      'benzilic-acid',
      'benzocaine',
      'benzoic-acid',
      'isopentyl-acetate',
      'methyl-3-nitrobenzoate',
      'potassium-trisoxalatoferrate',
    ]);
    for (const template of templates) expect(templateById(template.id)).toBe(template);
    expect(templateById('no-such-thing')).toBeUndefined();
  });

  it.each(each)('%s makes an entry that the contract accepts', (_, template) => {
    const parsed = v.safeParse(entryContent, begun(template));
    expect(parsed.success ? [] : parsed.issues.map((issue) => v.getDotPath(issue))).toEqual([]);
  });

  it.each(each)('%s has a balanced equation as written', (_, { content }) => {
    const parsed = parseEquation(content.equation);
    if (!parsed.ok) throw new Error(parsed.error.code);
    const { kind, imbalance } = balance(parsed.value);
    expect(kind).toBe('as-typed');
    expect(imbalance).toEqual([]);
  });

  it.each(each)('%s says what is done, why, with what and how', (_, { content }) => {
    expect(content.aim.length).toBeGreaterThan(60);
    expect(content.principle.length).toBeGreaterThan(150);
    expect(content.requirements.length).toBeGreaterThanOrEqual(5);
    expect(content.steps.length).toBeGreaterThanOrEqual(8);
    expect(content.rows.filter(({ role }) => role === 'reactant').length).toBeGreaterThanOrEqual(2);
    const yieldPercent = parseEntered(content.expectedYield as Entered, 'fraction', 'expectedYield');
    expect(yieldPercent.ok && yieldPercent.value.value).toBeGreaterThan(40);
    expect(yieldPercent.ok && yieldPercent.value.value).toBeLessThan(90);
  });
});

describe('the reagent table of a template', () => {
  it.each(each)('%s is worked out without a gap or a doubt', (_, template) => {
    const content = begun(template);
    const entry = computeEntry(content);
    expect(entry.table.problems).toEqual([]);
    expect(entry.doubts).toEqual([]);
    for (const row of entry.table.rows) {
      const name = content.rows.find(({ id }) => id === row.rowId)?.name ?? row.rowId;
      expect(row.problems, name).toEqual([]);
      for (const cell of [row.molarMass, ...Object.values(row.planned)]) {
        expect(cell.state, name).not.toBe('blocked');
      }
      expect(row.planned.amount.state, name).toBe('known');
    }
  });

  // Theory by hand: m · w / M(limiting) × ν ratio × M(product), M from CIAAW 2021 abridged weights; volumes by
  // the CRC density (methyl benzoate 1.0837, 3-methylbutan-1-ol 0.8104 g/mL).
  it.each([
    ['acetylsalicylic-acid', 'salicylic acid', ((2.5 * 0.99) / 138.122) * 180.159],
    ['isopentyl-acetate', '3-methylbutan-1-ol', ((8.0 * 0.8104 * 0.98) / 88.15) * 130.187],
    ['methyl-3-nitrobenzoate', 'methyl benzoate', ((4.0 * 1.0837 * 0.99) / 136.15) * 181.147],
    ['benzoic-acid', 'methyl benzoate', ((4.0 * 1.0837 * 0.99) / 136.15) * 122.123],
    ['benzilic-acid', 'benzil', ((2.5 * 0.98) / 210.232) * 228.247],
    ['benzocaine', '4-aminobenzoic acid', ((2.4 * 0.99) / 137.138) * 165.192],
    [
      'potassium-trisoxalatoferrate',
      'ammonium iron(II) sulfate hexahydrate',
      ((5.0 * 0.99) / 392.125) * 491.238,
    ],
    ['adipic-acid', 'cyclohexanol', ((2.0 * 0.99) / 100.161) * 146.142],
  ])('%s is limited by %s, for sure, with the theoretical yield worked out by hand', (id, name, grams) => {
    const template = templateById(id) as Template;
    const content = begun(template);
    const { planned } = computeEntry(content).table;
    if (planned.limiting.state !== 'found') throw new Error(planned.limiting.state);
    const { rowId, isCertain } = planned.limiting;
    expect(content.rows.find((row) => row.id === rowId)?.name).toBe(name);
    expect(isCertain).toBe(true);
    expect(Math.abs(known(planned.theoreticalYield) / grams - 1)).toBeLessThan(1e-4);
  });

  // Excesses that the chemistry asks for, by hand from the strengths stated in the rows.
  it.each([
    ['acetylsalicylic-acid', 'acetic anhydride', (5.0 * 1.082 * 0.98) / 102.089 / ((2.5 * 0.99) / 138.122)],
    ['benzoic-acid', 'sodium hydroxide solution', (20 * 0.1) / 39.997 / ((4.0 * 1.0837 * 0.99) / 136.15)],
    ['adipic-acid', 'nitric acid (50 %)', (10 * 1.31 * 0.5) / 63.012 / 8 / ((2.0 * 0.99) / 100.161 / 3)],
    [
      'potassium-trisoxalatoferrate',
      'hydrogen peroxide, 20 volumes',
      (0.008 * 2 * 20) / 22.414 / ((5.0 * 0.99) / 392.125 / 2),
    ],
  ])('%s takes %s in the excess worked out by hand', (id, name, equivalents) => {
    const content = begun(templateById(id) as Template);
    const row = content.rows.find((one) => one.name === name);
    const computed = computeEntry(content).table.rows.find(({ rowId }) => rowId === row?.id);
    expect(Math.abs(known(computed?.planned.equivalents) / equivalents - 1)).toBeLessThan(2e-4);
  });

  it.each(each)('%s states assay or strength of every bottle', (_, { content }) => {
    for (const { name, supply, role, planned } of content.rows) {
      if (supply.kind === 'solution') expect(supply.strength, name).not.toBeNull();
      else if (supply.kind !== 'gas') expect(supply.assay, name).not.toBeNull();
      if (supply.kind === 'neat-liquid') expect(supply.densityTemperature, name).not.toBeNull();
      if (role === 'product') expect(planned).toBeNull();
      else expect(planned?.instrument, name).toBeTruthy();
    }
  });

  it.each(each)('%s takes its substances from the library', (_, { content }) => {
    for (const { name, compoundId, formula, smiles } of content.rows) {
      const compound = compoundById(compoundId ?? '');
      expect(compound, name).toBeDefined();
      expect(formula, name).toBe(compound?.formula);
      expect(smiles ?? '', name).toBe(compound?.smiles);
    }
  });

  // What is left of the base has to be neutralised by the acid of the work-up, and the other way round.
  it('brings enough acid or base for its work-up', () => {
    const amount = (id: string, name: string): number => {
      const content = begun(templateById(id) as Template);
      const row = content.rows.find((one) => one.name === name);
      return known(computeEntry(content).table.rows.find(({ rowId }) => rowId === row?.id)?.planned.amount);
    };
    expect(amount('benzoic-acid', 'hydrochloric acid')).toBeGreaterThan(
      amount('benzoic-acid', 'sodium hydroxide solution'),
    );
    expect(amount('benzocaine', 'sodium carbonate solution')).toBeGreaterThan(
      amount('benzocaine', 'concentrated sulfuric acid'),
    );
    // The acid has to protonate the amine and catalyse: more than one mole per mole.
    expect(amount('benzocaine', 'concentrated sulfuric acid')).toBeGreaterThan(
      amount('benzocaine', '4-aminobenzoic acid'),
    );
    expect(amount('benzilic-acid', 'hydrochloric acid')).toBeGreaterThan(amount('benzilic-acid', 'benzil'));
    expect(amount('acetylsalicylic-acid', 'water, to decompose the anhydride')).toBeGreaterThan(
      amount('acetylsalicylic-acid', 'acetic anhydride') - amount('acetylsalicylic-acid', 'salicylic acid'),
    );
    // Iron has to come down completely as oxalate.
    expect(
      amount('potassium-trisoxalatoferrate', 'oxalic acid solution, to precipitate the iron'),
    ).toBeGreaterThan(amount('potassium-trisoxalatoferrate', 'ammonium iron(II) sulfate hexahydrate'));
  });

  it('works out its worksheets without a problem', () => {
    for (const template of templates) {
      const { worksheets } = computeEntry(begun(template));
      expect(worksheets.length).toBe(template.content.worksheets.length);
      for (const { calculation, outcome } of worksheets) {
        expect(calculation, template.id).not.toBeNull();
        expect(outcome?.problems, template.id).toEqual([]);
      }
    }
  });
});

const dimensions = {
  temperature: 'temperature',
  duration: 'time',
  'addition-rate': 'addition-rate',
} as const;
/** Widest sensible windows of a teaching laboratory: °C, min, mL/min. Common practice, no source. */
const sensible: Readonly<Record<StepLimit['kind'], readonly [number, number]>> = {
  temperature: [-20, 200],
  duration: [1, 120],
  'addition-rate': [0, 2],
};

describe('the procedure of a template', () => {
  it.each(each)('%s fills every slot of every step', (_, template) => {
    const content = begun(template);
    const { table } = computeEntry(content);
    for (const [index, step] of content.steps.entries()) {
      const text = fillStepText(step.text, table, content.rows, 'planned');
      expect(text, `step ${index + 1}`).not.toMatch(/[{}[\]]/);
    }
  });

  it.each(each)('%s uses every measured row in a step', (_, { content }) => {
    const text = content.steps.map((step) => step.text).join(' ');
    for (const { id, role } of content.rows) {
      if (role !== 'product') expect(text, id).toMatch(new RegExp(`\\{(mass|volume|name):${id}\\}`));
    }
  });

  it.each(each)('%s sets limits that can be read and kept', (_, { content }) => {
    for (const [index, step] of content.steps.entries()) {
      for (const { kind, from, to } of step.limits) {
        const where = `step ${index + 1} ${kind}`;
        const value = (entered: Entered | null): number | null => {
          if (entered === null) return null;
          const parsed = parseEntered(entered, dimensions[kind], where);
          expect(parsed.ok, where).toBe(true);
          return parsed.ok ? parsed.value.value : null;
        };
        const [low, high] = [value(from), value(to)];
        expect(low !== null || high !== null, where).toBe(true);
        if (low !== null && high !== null) expect(low, where).toBeLessThan(high);
        for (const one of [low, high]) {
          if (one === null) continue;
          expect(one, where).toBeGreaterThanOrEqual(sensible[kind][0]);
          expect(one, where).toBeLessThanOrEqual(sensible[kind][1]);
        }
      }
    }
  });

  // A step cannot be planned shorter than it has to last.
  it.each(each)('%s plans at least the time that a step has to last', (_, { content }) => {
    for (const [index, step] of content.steps.entries()) {
      for (const { kind, from } of step.limits) {
        if (kind !== 'duration' || from === null) continue;
        expect(Number(step.plannedMinutes?.text), `step ${index + 1}`).toBeGreaterThanOrEqual(
          Number(from.text),
        );
      }
    }
  });

  it.each(each)(
    '%s can be left at hold points, so that it fits into sessions of three hours',
    (_, { content }) => {
      const plan = planSession(content.steps);
      expect(plan.problems).toEqual([]);
      expect(plan.untimedStepIds).toEqual([]);
      expect(plan.totalMinutes).toBeGreaterThan(90);
      expect(plan.totalMinutes).toBeLessThan(300);
      expect(plan.stretches.length).toBeGreaterThanOrEqual(2);
      expect(plan.longest?.minutes).toBeLessThanOrEqual(180);
    },
  );
});

describe('safety in a template', () => {
  it.each(each)(
    '%s defers to the supplier’s sheet, the local rules and the person in charge',
    (_, { content }) => {
      for (const words of [
        'safety data sheet',
        'local rules',
        'person in charge',
        'Eye protection',
        'waste',
      ]) {
        expect(content.precautions).toContain(words);
      }
      expect(content.precautions).not.toMatch(/\bis safe\b|\bharmless\b|\bno risk\b/i);
    },
  );

  // Water, common salt, a drying agent and charcoal carry no label; everything else is listed.
  const unlabelled = ['water', 'sodium-chloride', 'magnesium-sulfate', 'activated-charcoal'];
  it.each(each)('%s lists the hazards of every substance in use', (_, { content }) => {
    const listed = content.hazards.map(
      ({ rowId }) => content.rows.find(({ id }) => id === rowId)?.compoundId,
    );
    for (const { name, compoundId } of content.rows) {
      if (!unlabelled.includes(compoundId ?? '')) expect(listed, name).toContain(compoundId);
    }
  });

  it.each(each)('%s names a source for every hazard, and known codes only', (_, { content }) => {
    for (const { substance, source, statements, pictograms, signalWord, rowId } of content.hazards) {
      expect(source, substance).toContain('safety data sheet');
      for (const code of statements) expect(statementText(code), `${substance} ${code}`).not.toBeNull();
      for (const code of pictograms) expect(Object.keys(ghsPictograms)).toContain(code);
      if (pictograms.length > 0) expect(signalWord, substance).not.toBe('');
      if (rowId !== null) expect(content.rows.map(({ id }) => id)).toContain(rowId);
    }
  });

  it.each(each)('%s warns at the step where it matters', (_, { content }) => {
    expect(content.steps.filter(({ caution }) => caution !== '').length).toBeGreaterThanOrEqual(3);
  });

  // Facts of the trade, common practice, no source.
  it('keeps nitric acid apart from organic liquids, and peroxide from hot ethanol', () => {
    const adipic = templateById('adipic-acid')?.content;
    expect(adipic?.precautions).toMatch(/must never meet outside the flask/);
    expect(adipic?.precautions).toMatch(/No acetone and no ethanol/);
    const nitration = templateById('methyl-3-nitrobenzoate')?.content;
    const adding = nitration?.steps.find(({ text }) => text.includes('add the mixed acid'));
    expect(adding?.limits).toContainEqual({
      kind: 'temperature',
      from: { text: '5', unit: '°C' },
      to: { text: '15', unit: '°C' },
    });
    const texts = templateById('potassium-trisoxalatoferrate')?.content.steps.map(({ text }) => text) ?? [];
    const destroyed = texts.findIndex((text) => text.includes('destroy the rest of the peroxide'));
    const ethanol = texts.findIndex((text) => text.includes('{volume:ethanol}'));
    expect(destroyed).toBeGreaterThan(0);
    expect(ethanol).toBeGreaterThan(destroyed);
  });
});

describe('literature values of a template', () => {
  // CRC Handbook of Chemistry and Physics, 95th ed.
  it.each([
    ['acetylsalicylic-acid', '136'],
    ['methyl-3-nitrobenzoate', '78.0'],
    ['benzoic-acid', '122.34'],
    ['benzilic-acid', '149'],
    ['benzocaine', '89.6'],
    ['adipic-acid', '151.5'],
  ])('%s melts at %s °C', (id, melts) => {
    const literature = templateById(id)?.content.literature;
    expect(literature?.meltingRange?.from).toEqual({ text: melts, unit: '°C' });
    expect(literature?.meltingRange?.source).toContain('CRC Handbook');
  });

  it('isopentyl acetate boils at 141.6 °C and refracts 1.4000 at 20 °C', () => {
    const literature = templateById('isopentyl-acetate')?.content.literature;
    expect(literature?.boilingPoint?.value.text).toBe('141.6');
    expect(literature?.refractiveIndex?.value.text).toBe('1.4000');
    expect(literature?.meltingRange).toBeNull();
  });

  it('are those of the library', () => {
    for (const { id, content } of templates) {
      const product = content.rows.find((row) => row.id === content.productRowId);
      const compound = compoundById(product?.compoundId ?? '');
      const { meltingRange, boilingPoint, refractiveIndex } = content.literature;
      if (meltingRange !== null) expect(meltingRange.from, id).toEqual(compound?.meltingPoint?.value);
      if (boilingPoint !== null) expect(boilingPoint.value, id).toEqual(compound?.boilingPoint?.value);
      if (refractiveIndex !== null)
        expect(refractiveIndex.value, id).toEqual(compound?.refractiveIndex?.value);
    }
  });
});

describe('contentFromTemplate', () => {
  it.each(each)('%s gets ids of its own, everywhere', (_, template) => {
    const newId = counter();
    const one = contentFromTemplate(template, { date: '2026-03-02', newId });
    const other = contentFromTemplate(template, { date: '2026-03-02', newId });
    const idsOf = (content: typeof one) =>
      [...content.rows, ...content.steps, ...content.worksheets].map(({ id }) => id);
    expect(new Set([...idsOf(one), ...idsOf(other)]).size).toBe(idsOf(one).length * 2);
    const own = new Set(one.rows.map(({ id }) => id));
    expect(own).toContain(one.productRowId);
    for (const { rowId } of one.hazards) if (rowId !== null) expect(own).toContain(rowId);
    for (const { text } of one.steps) {
      for (const [, rowId] of text.matchAll(/\{\w+:([^{}]+)\}/g)) expect(own).toContain(rowId);
    }
    expect(one.template).toEqual({ id: template.id, version: template.version });
    expect(one.date).toBe('2026-03-02');
    expect(JSON.stringify(one.rows.map((row) => ({ ...row, id: '' })))).toBe(
      JSON.stringify(template.content.rows.map((row) => ({ ...row, id: '' }))),
    );
  });

  it('starts with nothing done and nothing measured', () => {
    const content = begun(templates[0] as Template);
    expect(content.stepRecords).toEqual([]);
    expect(content.notes).toEqual([]);
    expect(content.rows.every(({ taken }) => taken === null)).toBe(true);
    expect(content.result.pure.mass).toBeNull();
  });
});
