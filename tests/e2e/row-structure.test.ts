import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
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

async function openFresh() {
  const { page, context, faults } = await desk.open();
  await signIn(page, 'student');
  const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
  let id = 0;
  const content = contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` });
  const view = await askFrom(page, 'entry.begin', { recordId, content });
  await goTo(page, `#/entry/${view.id}`);
  return { page, context, faults, entryId: view.id };
}
const unfoldFirst = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Details of salicylic acid' }).first().click();
  await page.getByLabel('structure (SMILES)').first().waitFor();
};

// Formulae and structures: salicylic acid C7H6O3, acetylsalicylic acid C9H8O4.
describe('the structure of a row', () => {
  it('is held against the formula, and gives it when asked', async () => {
    const { page, context, faults, entryId } = await openFresh();
    await unfoldFirst(page);
    const structure = page.getByLabel('structure (SMILES)').first();
    await expect.poll(() => structure.inputValue()).toMatch(/c1/);
    await structure.fill('CC(=O)Oc1ccccc1C(=O)O');
    const told = page.getByText('The formula is C7H6O3, the structure is C9H8O4');
    await told.waitFor();
    expect(await structure.getAttribute('aria-invalid')).toBe('true');
    await page.getByRole('button', { name: 'Take C9H8O4 as the formula' }).click();
    await told.waitFor({ state: 'detached' });
    await expect
      .poll(async () => (await askFrom(page, 'entry.open', { entryId })).content.rows[0]?.formula)
      .toBe('C9H8O4');
    await structure.fill('C1CC');
    await page.getByText('This structure cannot be read').waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('takes the product of another entry, with its yield, and leaves the assay open', async () => {
    const { page, context, faults, entryId } = await openFresh();
    const template = templates.find((one) => one.id === 'isopentyl-acetate')!;
    let id = 0;
    const plain = contentFromTemplate(template, { date: '2026-03-05', newId: () => `o-${++id}` });
    const other = await askFrom(page, 'entry.begin', {
      recordId,
      content: {
        ...plain,
        rows: plain.rows.map((row) => ({ ...row, taken: row.planned })),
        result: { ...plain.result, pure: { mass: { text: '3.10', unit: 'g' }, instrument: null } },
      },
    });
    await unfoldFirst(page);
    await page.getByLabel('made in').first().selectOption(other.id);
    await page.getByText('3.10 g obtained there').waitFor();
    const row = async () => (await askFrom(page, 'entry.open', { entryId })).content.rows[0];
    await expect.poll(async () => (await row())?.origin?.entryNumber).toBe(other.number);
    expect(await row()).toMatchObject({ formula: 'C7H14O2', supply: { assay: null } });
    expect(Number((await row())?.origin?.yield?.text)).toBeGreaterThan(0);
    // An entry cannot be made of what is made of it.
    await goTo(page, `#/entry/${other.id}`);
    await page
      .getByRole('button', { name: /^Details of / })
      .first()
      .click();
    await page.getByLabel('made in').first().selectOption(entryId);
    await page.getByText('is itself made from this entry').waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('takes a pasted molfile', async () => {
    const { page, context, entryId } = await openFresh();
    await unfoldFirst(page);
    // Ethanol, written by hand after the published format (CTfile formats, V2000).
    const atoms = ['C', 'C', 'O'].map(
      (symbol, x) => `${(x * 1.5).toFixed(4).padStart(10)}    0.0000    0.0000 ${symbol}   0  0  0  0  0  0`,
    );
    const molfile = [
      'ethanol',
      '',
      '',
      '  3  2  0  0  0  0            999 V2000',
      ...atoms,
      '  1  2  1  0',
      '  2  3  1  0',
      'M  END',
      '',
    ].join('\n');
    await page
      .getByLabel('structure (SMILES)')
      .first()
      .evaluate((box, text) => {
        const data = new DataTransfer();
        data.setData('text/plain', text);
        box.dispatchEvent(
          new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }),
        );
      }, molfile);
    await page.getByText('the structure is C2H6O').waitFor();
    await expect
      .poll(async () => (await askFrom(page, 'entry.open', { entryId })).content.rows[0]?.smiles)
      .toMatch(/^(CCO|OCC)$/);
    await context.close();
  });
});
