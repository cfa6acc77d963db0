import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import type { EntryContent } from '../../core/record/content.ts';
import {
  askFrom,
  goTo,
  makeDemo,
  signIn,
  startDemoDesk,
  type DemoDesk,
  type Size,
} from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let recordId = '';
beforeAll(async () => {
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  await makeDemo(page);
  await signIn(page, 'student');
  recordId = (await askFrom(page, 'record.list', {})).records[0]!.id;
  await context.close();
});
afterAll(async () => desk.stop());

/** A fresh entry from the template, opened in a window of its own. */
async function openFresh(
  change: (content: EntryContent) => EntryContent = (content) => content,
  size: Size = 'wide',
) {
  const { page, context, faults } = await desk.open({ size });
  await signIn(page, 'student');
  const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
  let id = 0;
  const content = change(contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` }));
  const view = await askFrom(page, 'entry.begin', { recordId, content });
  await goTo(page, `#/entry/${view.id}`);
  return { page, context, faults, entryId: view.id };
}
const named = (content: EntryContent, name: RegExp) => content.rows.find((row) => name.test(row.name))!;
const box = (page: Page, label: RegExp | string): Locator => page.getByRole('textbox', { name: label });
const savedContent = async (page: Page, entryId: string) =>
  (await askFrom(page, 'entry.open', { entryId })).content;

describe('the reagent table', () => {
  it('recomputes the other cells while a mass is typed', async () => {
    const { page, context, faults } = await openFresh();
    await box(page, /^mass of salicylic acid, planned/).fill('4.00');
    // 4.00 g · w / 138.122 g/mol; the bottle's assay of the template stands in the row.
    const amount = page.getByRole('button', { name: /^amount of salicylic acid, planned/ });
    const shown = (await amount.getAttribute('aria-label')) ?? '';
    const mmol = Number(/: ([\d.]+)/.exec(shown)?.[1]);
    expect(mmol).toBeGreaterThan(28);
    expect(mmol).toBeLessThan(29);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('makes a computed cell the measured one when a figure is typed over it, and takes it back on Escape', async () => {
    const { page, context, entryId } = await openFresh();
    const amount = page.getByRole('button', { name: /^amount of salicylic acid, planned/ });
    await amount.focus();
    await page.keyboard.type('20');
    const typed = box(page, /^amount of salicylic acid, planned, in mmol/);
    await expect.poll(() => typed.inputValue()).toBe('20');
    // 20 mmol of C7H6O3 (138.122 g/mol) is 2.76 g before the assay: the mass is computed now.
    await page.getByRole('button', { name: /^mass of salicylic acid, planned/ }).waitFor();
    await typed.blur();
    await expect
      .poll(async () => named(await savedContent(page, entryId), /salicylic acid/).planned?.by)
      .toBe('amount');
    await typed.focus();
    await page.keyboard.type('5');
    await page.keyboard.press('Escape');
    expect(await typed.inputValue()).toBe('20');
    await context.close();
  });

  it('takes a unit typed behind the number', async () => {
    const { page, context, entryId } = await openFresh();
    const mass = box(page, /^mass of salicylic acid, planned/);
    await mass.fill('2500 mg');
    await mass.blur();
    await expect
      .poll(async () => named(await savedContent(page, entryId), /salicylic acid/).planned?.entered)
      .toEqual({ text: '2500', unit: 'mg' });
    await context.close();
  });

  it('names a missing density in its row, leads to the field, and works everything out once it is there', async () => {
    const { page, context } = await openFresh((content) => ({
      ...content,
      rows: content.rows.map((row) =>
        /anhydride/.test(row.name) && row.supply.kind === 'neat-liquid'
          ? { ...row, supply: { ...row.supply, density: null } }
          : row,
      ),
    }));
    const row = page
      .locator('[id^=row-]', { has: page.getByRole('textbox', { name: 'name of the substance' }) })
      .filter({
        has: page.getByRole('button', { name: 'Details of acetic anhydride' }),
      });
    await row
      .getByText(/density is missing/)
      .first()
      .waitFor();
    await row.getByRole('button', { name: 'fill it in' }).first().click();
    await box(page, /^density of acetic anhydride/).fill('1.082');
    await expect.poll(() => row.getByText(/density is missing/).count()).toBe(0);
    await page.getByRole('button', { name: /^amount of acetic anhydride, planned/ }).waitFor();
    await context.close();
  });

  it('shows a formula’s fault at its position', async () => {
    const { page, context } = await openFresh();
    await page.getByRole('button', { name: 'Details of salicylic acid' }).click();
    await box(page, 'formula on the bottle').fill('C7H6(O3');
    await page.getByText(/character 5/).waitFor();
    expect(await box(page, 'formula on the bottle').getAttribute('aria-invalid')).toBe('true');
    await context.close();
  });

  it('shows in the fold how much more was taken than planned, and lists it as a deviation', async () => {
    const { page, context } = await openFresh();
    const planned = Number(await box(page, /^mass of salicylic acid, planned/).inputValue());
    await box(page, /^mass of salicylic acid, taken/).fill((planned * 1.1).toFixed(2));
    const row = page.locator('[id^=row-]').filter({
      has: page.getByRole('button', { name: 'Details of salicylic acid' }),
    });
    await row
      .locator('.fold')
      .getByText(/^\+10(\.0)?\u2009%$/u)
      .waitFor();
    await page.getByRole('button', { name: /^salicylic acid: 10(\.0)?\s% more than planned/u }).waitFor();
    await context.close();
  });

  it('adds a substance found in spite of a slip of spelling, moves it and takes it back', async () => {
    const { page, context } = await openFresh();
    const names = async () =>
      page
        .getByRole('textbox', { name: 'name of the substance' })
        .evaluateAll((all) => all.map((one) => (one as HTMLTextAreaElement).value));
    const before = await names();
    const search = page.getByRole('combobox', { name: /^Add a substance/ });
    await search.click();
    await page.keyboard.type('diethyl eter');
    await page
      .getByRole('option', { name: /^diethyl ether/ })
      .first()
      .click();
    await expect.poll(names).toHaveLength(before.length + 1);
    const at = (await names()).indexOf('diethyl ether');
    expect(at).toBeGreaterThan(0);
    await page.getByRole('textbox', { name: 'name of the substance' }).nth(at).focus();
    await page.keyboard.press('Alt+ArrowUp');
    await expect.poll(async () => (await names()).indexOf('diethyl ether')).toBe(at - 1);
    await page.getByRole('button', { name: /^Take back: moved/ }).click();
    await page.getByRole('button', { name: /^Take back: added/ }).click();
    await expect.poll(names).toEqual(before);
    await context.close();
  });

  it('scales the plan to twice its size, and the amounts in the steps with it', async () => {
    const { page, context } = await openFresh();
    const mass = box(page, /^mass of salicylic acid, planned/);
    const before = Number(await mass.inputValue());
    await page.getByRole('button', { name: 'Another size …' }).click();
    await page.getByRole('button', { name: 'Plan it so' }).click();
    await expect.poll(async () => Number(await mass.inputValue())).toBeCloseTo(2 * before, 6);
    const steps = await page.locator('[id^=step-]').allInnerTexts();
    expect(steps.join(' ')).toContain(`${await mass.inputValue()}\u2009g`);
    await context.close();
  });
});

describe('a computed number', () => {
  it('opens its working with formula, values and uncertainty, and leads on to what it rests on', async () => {
    const { page, context } = await openFresh();
    await page
      .getByRole('button', { name: /^theoretical yield, planned/ })
      .first()
      .click();
    const panel = page.getByRole('dialog', { name: /^Working: Theoretical yield/ });
    await panel.getByRole('heading', { name: /Theoretical yield/ }).waitFor();
    expect(await panel.innerText()).toContain('molar mass of acetylsalicylic acid');
    await panel.getByRole('button', { name: /its working ?: molar mass/ }).click();
    await page.getByRole('dialog', { name: /^Working: Molar mass/ }).waitFor();
    await page.getByRole('button', { name: 'Back' }).click();
    await panel.waitFor();
    await page.keyboard.press('Escape');
    await expect.poll(() => panel.count()).toBe(0);
    await context.close();
  });
});

describe('a step', () => {
  it('is ticked with the time, takes readings, and shows a limit that was not kept', async () => {
    const { page, context, entryId } = await openFresh((content) => ({
      ...content,
      steps: content.steps.map((step, index) =>
        index === 1
          ? {
              ...step,
              limits: [
                { kind: 'temperature', from: { text: '70', unit: '°C' }, to: { text: '80', unit: '°C' } },
              ],
            }
          : step,
      ),
    }));
    await page.getByRole('button', { name: 'start the timer of step 2' }).click();
    await box(page, /^temperature read at step 2/).fill('86');
    await page.keyboard.press('Enter');
    const step = page.locator('[id^=step-]').nth(1);
    await step.locator('.fold').getByText('6\u2009°C too warm').waitFor();
    await box(page, 'why step 2 was done otherwise').fill('The bath ran hot.');
    await page.getByRole('checkbox', { name: 'step 2 done' }).click();
    await step.getByRole('button', { name: /^done at \d\d:\d\d; correct it/ }).click();
    await page.getByLabel('because').fill('pressed too late');
    await page.getByRole('button', { name: 'Correct the time' }).click();
    await expect
      .poll(async () => {
        const content = await savedContent(page, entryId);
        const record = content.stepRecords.find((one) => one.stepId === content.steps[1]!.id);
        return [record?.readings[0]?.entered.text, record?.deviation, record?.done?.correction?.reason];
      })
      .toEqual(['86', 'The bath ran hot.', 'pressed too late']);
    await context.close();
  });
});

describe('in a narrow window', () => {
  it('shows one page at a time, with the differences of the fold beside either', async () => {
    const { page, context, faults } = await openFresh((content) => content, 'small');
    const mass = box(page, /^mass of salicylic acid, planned/);
    const planned = Number(await mass.inputValue());
    await page.getByRole('tab', { name: /^Done/ }).click();
    await expect.poll(() => mass.isVisible()).toBe(false);
    await box(page, /^mass of salicylic acid, taken/).fill((planned * 1.1).toFixed(2));
    const difference = page.getByText(/^\+10(\.0)?\u2009%$/u);
    await difference.waitFor();
    await page.getByRole('tab', { name: /^Intended/ }).click();
    expect(await difference.isVisible()).toBe(true);
    expect(await mass.isVisible()).toBe(true);
    expect(faults).toEqual([]);
    await context.close();
  });
});
