import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { askFrom, goTo, makeDemo, signIn, startDemoDesk, type DemoDesk } from '../renderer/demo-desk.ts';

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

async function openFresh(change: (content: EntryContent) => EntryContent = (content) => content) {
  const { page, context, faults } = await desk.open();
  await signIn(page, 'student');
  const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
  let id = 0;
  const plain = contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` });
  const content = change({ ...plain, worksheets: [] });
  const view = await askFrom(page, 'entry.begin', { recordId, content });
  await goTo(page, `#/entry/${view.id}`);
  return { page, context, faults, entryId: view.id };
}
const savedSheets = async (page: Page, entryId: string) =>
  (await askFrom(page, 'entry.open', { entryId })).content.worksheets;
async function choose(page: Page, word: string): Promise<void> {
  await page.getByRole('button', { name: 'calculation', exact: true }).click();
  const search = page.getByRole('searchbox', { name: 'Look for a calculation' });
  await search.fill(word);
  await search.press('Enter');
}
const box = (page: Page, name: string | RegExp) => page.getByRole('textbox', { name });

describe('a calculation beside the table', () => {
  it('is found by a word, filled in by keyboard, and answers with a number that opens its working', async () => {
    const { page, context, faults, entryId } = await openFresh();
    await choose(page, 'ice takes');
    const sheet = page.getByRole('region', { name: 'Ice to cool a mixture' });
    await sheet.getByText('Still blank: Mass of the mixture').waitFor();
    // The first field has the focus; Tab leads through number and unit.
    await page.keyboard.type('250.0');
    await box(page, /^Specific heat/).fill('4.184');
    await box(page, /^Temperature now/).fill('80.0');
    await box(page, /^Temperature wanted/).fill('10.0');
    await sheet.getByRole('radio', { name: 'melts into the mixture' }).check();
    // 250 g · 4.184 J/(g K) · 70 K = 73.2 kJ; ÷ (333.6 + 41.84) J/g = 195 g (OpenStax Chemistry 2e, 5.2 and 10.3).
    const answer = sheet.getByRole('button', { name: /^Ice that melts into the mixture: / });
    const said = (await answer.getAttribute('aria-label')) ?? '';
    expect(Math.abs(Number(/: ([\d.]+)/.exec(said)?.[1]) - 195)).toBeLessThan(0.5);
    await answer.click();
    const panel = page.getByRole('dialog', { name: /^Working: Ice/ });
    await panel.getByText('heat of fusion of ice').first().waitFor();
    await page.keyboard.press('Escape');
    // The same answer stands in one line under its own heading, and leads back to the sheet.
    const lines = page.getByRole('list', { name: 'Worked out for this' });
    await lines.getByRole('button', { name: /^Ice that melts/ }).waitFor();
    await lines.getByRole('button', { name: 'Ice to cool a mixture' }).click();
    expect(await sheet.evaluate((node) => node.contains(document.activeElement))).toBe(true);
    await expect.poll(async () => (await savedSheets(page, entryId))[0]?.inputs['place']).toBe('inside');
    expect(faults).toEqual([]);
    await context.close();
  });

  it('says beside the field what is wrong with it, and what the physics forbids', async () => {
    const { page, context } = await openFresh();
    await choose(page, 'ice takes');
    const sheet = page.getByRole('region', { name: 'Ice to cool a mixture' });
    const mass = box(page, /^Mass of the mixture/);
    await mass.fill('25O');
    await expect.poll(() => mass.getAttribute('aria-invalid')).toBe('true');
    const noteId = (await mass.getAttribute('aria-describedby')) ?? '';
    expect(await page.locator(`[id="${noteId}"]`).textContent()).toContain('is not part of a number');
    await mass.fill('250');
    await box(page, /^Temperature now/).fill('5');
    await box(page, /^Temperature wanted/).fill('20');
    await sheet.getByText('20 °C is not below 5 °C').waitFor();
    expect(await box(page, /^Temperature wanted/).getAttribute('aria-invalid')).toBe('true');
    await context.close();
  });

  it('fills in its example, says so, and the clearing can be taken back', async () => {
    const { page, context, entryId } = await openFresh();
    await choose(page, 'emergent');
    const sheet = page.getByRole('region', { name: 'Emergent-stem correction' });
    await sheet.getByRole('button', { name: 'Fill in the example' }).click();
    await sheet.getByText('These are the figures of an example').waitFor();
    await sheet.getByRole('button', { name: /^Corrected reading: / }).waitFor();
    await box(page, /^Reading, in/).fill('241.0');
    await sheet.getByText('These are the figures of an example').waitFor({ state: 'detached' });
    await sheet.getByRole('button', { name: 'Clear' }).click();
    await sheet.getByText('Still blank:').waitFor();
    await page.getByRole('button', { name: /^Take back/ }).click();
    await expect.poll(() => box(page, /^Reading, in/).inputValue()).toBe('241.0');
    await sheet.getByRole('button', { name: 'Take out' }).click();
    await sheet.waitFor({ state: 'detached' });
    await expect.poll(async () => (await savedSheets(page, entryId)).length).toBe(0);
    await context.close();
  });

  it('takes a series line by line, and a line out again', async () => {
    const { page, context, entryId } = await openFresh();
    await choose(page, 'whether the product is dry');
    const sheet = page.getByRole('region', { name: 'Drying to constant mass' });
    const line = (n: number) => box(page, new RegExp(`^Mass, line ${n} of`));
    await line(1).fill('2.415');
    await line(1).press('Enter');
    await page.keyboard.type('2.132');
    await page.keyboard.press('Enter');
    // Enter on the last line made a new one.
    await page.keyboard.type('2.106');
    await sheet.getByRole('button', { name: 'Add a line' }).click();
    await page.keyboard.type('2.104');
    await sheet.getByRole('button', { name: /^Change at the last weighing: −0.002/ }).waitFor();
    await box(page, /^Counts as constant within/).fill('0.005');
    await sheet.getByText('The mass is constant within the limit given.').waitFor();
    await sheet.getByRole('button', { name: 'Take out line 4 of Weighings in order' }).click();
    await sheet.getByText('The mass still falls: dry on, and weigh again.').waitFor();
    await expect
      .poll(async () => (await savedSheets(page, entryId))[0]?.inputs['weighings'])
      .toEqual(['2.415', '2.132', '2.106'].map((text) => ({ mass: { text, unit: 'g' } })));
    await context.close();
  });

  it('lists every calculation under its heading, for the keyboard too', async () => {
    const { page, context } = await openFresh();
    await page.getByRole('button', { name: 'calculation', exact: true }).click();
    const dialog = page.getByRole('dialog', { name: 'Add a calculation' });
    for (const heading of ['Requirements', 'Procedure', 'Result']) {
      await dialog.getByRole('heading', { name: heading }).waitFor();
    }
    await page.keyboard.press('ArrowDown');
    const first = await page.evaluate(() => document.activeElement?.textContent ?? '');
    expect(first).toContain('Solution from a solid');
    await page.keyboard.press('Enter');
    await page.getByRole('region', { name: 'Solution from a solid' }).waitFor();
    await context.close();
  });
});

describe('what it cost in matter', () => {
  const taken = (content: EntryContent): EntryContent => ({
    ...content,
    rows: content.rows.map((row) => ({ ...row, taken: row.planned })),
  });

  it('says what is still missing, and answers once the product is weighed', async () => {
    const { page, context, faults } = await openFresh(taken);
    const block = page.getByRole('region', { name: 'What it cost in matter' });
    await block.getByText('Weigh the product first.').waitFor();
    // 180.158 / (138.122 + 102.089) = 75.0 %: computed from the 2021 abridged atomic weights.
    await block.getByRole('button', { name: 'Atom economy: 75.0\u2009%, show the working' }).waitFor();
    await box(page, /pure product/i)
      .first()
      .fill('2.00');
    await block.getByRole('button', { name: /^E-factor: / }).click();
    await page
      .getByRole('dialog', { name: /^Working: E-factor/ })
      .getByText('Sheldon')
      .first()
      .waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });
});
