import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import { emptyContent } from '../../core/entry/empty-content.ts';
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

const passphrase = async (page: Page): Promise<string> =>
  (await askFrom(page, 'setup.state', {})).demoPassphrase ?? '';

describe('an entry from no template', () => {
  it('takes roles from the equation, the yield from the product, and a step letter by letter', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'student');
    const content = emptyContent({ date: '2026-03-12' });
    const { id } = await askFrom(page, 'entry.begin', { recordId, content });
    await goTo(page, `#/entry/${id}`);
    await page
      .getByRole('textbox', { name: 'equation as written' })
      .fill('C7H7NO2 + C2H5OH -> C9H11NO2 + H2O');

    const search = page.getByRole('combobox', { name: /^Add a substance/ });
    for (const name of ['4-aminobenzoic acid', 'benzocaine', 'ethanol', 'sulfuric acid']) {
      await search.fill(name);
      await page
        .getByRole('option', { name: new RegExp(`^${name}`) })
        .first()
        .click();
    }
    await expect
      .poll(async () => {
        const saved = (await askFrom(page, 'entry.open', { entryId: id })).content;
        return saved.rows.map((row) => [row.name, row.role, row.id === saved.productRowId]);
      })
      .toEqual([
        ['4-aminobenzoic acid', 'reactant', false],
        ['ethanol', 'reactant', false],
        ['sulfuric acid', 'reagent', false],
        ['benzocaine', 'product', true],
      ]);

    // The way from what is missing leads into its field.
    await page.getByRole('button', { name: 'fill it in for 4-aminobenzoic acid' }).click();
    await page.keyboard.type('99');
    await page.getByRole('textbox', { name: 'mass of 4-aminobenzoic acid, planned, in g' }).fill('2.00');

    await page.getByRole('button', { name: 'Add a step' }).click();
    await page.keyboard.type('Heat under reflux.', { delay: 20 });
    await page.getByRole('combobox', { name: 'add a limit to step 1' }).selectOption('temperature');
    await page.getByRole('button', { name: 'Done with step 1' }).click();
    await expect
      .poll(async () => {
        const saved = (await askFrom(page, 'entry.open', { entryId: id })).content;
        return [saved.steps.map((step) => [step.text, step.limits.length]), saved.rows[0]?.supply];
      })
      .toEqual([[['Heat under reflux.', 1]], { kind: 'solid', assay: { text: '99', unit: '% w/w' } }]);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('understands a day as it is written, and says so when it does not', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    const { id } = await askFrom(page, 'entry.begin', {
      recordId,
      content: emptyContent({ date: '2026-03-12' }),
    });
    await goTo(page, `#/entry/${id}`);
    const day = page.getByRole('textbox', { name: 'carried out on' });
    expect(await day.inputValue()).toBe('12 Mar 2026');
    await day.fill('3/4/2026');
    await page.getByText('Write the day like 14 Oct 2025').waitFor();
    await day.fill('2 April 2026');
    await page.keyboard.press('ArrowUp');
    expect(await day.inputValue()).toBe('3 Apr 2026');
    await expect
      .poll(async () => (await askFrom(page, 'entry.open', { entryId: id })).content.date, { timeout: 5000 })
      .toBe('2026-04-03');
    await context.close();
  });

  it('saves what was typed when the field it was typed in goes away', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'student');
    let n = 0;
    const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
    const content = contentFromTemplate(template, { date: '2026-03-12', newId: () => `n-${++n}` });
    const { id } = await askFrom(page, 'entry.begin', { recordId, content });
    await goTo(page, `#/entry/${id}`);
    const row = content.rows.find((one) => one.role === 'reactant')!;
    await page.getByRole('button', { name: `Details of ${row.name}` }).click();
    await page.getByRole('textbox', { name: new RegExp(`^mass of ${row.name}, planned`) }).fill('1.11');
    // The field that has the focus leaves the page with this.
    await page
      .getByLabel('role')
      .first()
      .evaluate((select: HTMLSelectElement) => {
        select.value = 'by-product';
        select.dispatchEvent(new Event('change', { bubbles: true }));
      });
    await expect
      .poll(
        async () =>
          (await askFrom(page, 'entry.open', { entryId: id })).content.rows.find((one) => one.id === row.id)
            ?.role,
      )
      .toBe('by-product');
    expect(faults).toEqual([]);
    await context.close();
  });
});

describe('a pile in the tray', () => {
  it('is worked through from one entry to the next by keyboard', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
    for (const day of ['2026-03-10', '2026-03-11']) {
      let n = 0;
      const plain = contentFromTemplate(template, { date: day, newId: () => `t-${day}-${++n}` });
      const content = { ...plain, rows: plain.rows.map((row) => ({ ...row, taken: row.planned })) };
      const { id: entryId, revision } = await askFrom(page, 'entry.begin', { recordId, content });
      const { versionHash } = await askFrom(page, 'signing.read', { entryId, meaning: 'performed' });
      await askFrom(page, 'entry.sign', {
        entryId,
        revision,
        versionHash,
        passphrase: await passphrase(page),
      });
    }
    await context.close();

    const other = await desk.open();
    await signIn(other.page, 'instructor');
    await goTo(other.page, '#/tray');
    const links = other.page.getByRole('list', { name: 'Entries waiting' }).getByRole('link');
    await links.first().waitFor();
    const [first, second] = [
      await links.nth(0).getAttribute('href'),
      await links.nth(1).getAttribute('href'),
    ];
    await links.first().press('Enter');
    await other.page.getByRole('button', { name: 'Countersign …' }).click();
    await other.page.getByRole('button', { name: 'I have read this: go on' }).click();
    await other.page
      .getByRole('dialog')
      .getByLabel(/passphrase/i)
      .fill(await passphrase(other.page));
    await other.page.keyboard.press('Enter');
    await other.page.locator('#next-in-tray:focus').waitFor({ timeout: 20_000 });
    expect(other.page.url().endsWith(first!)).toBe(true);
    await other.page.keyboard.press('Enter');
    await expect.poll(() => other.page.url().endsWith(second!)).toBe(true);
    await other.page.getByRole('button', { name: 'Countersign …' }).waitFor();
    await other.context.close();
  });
});
