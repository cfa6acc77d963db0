import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  goTo,
  isTooWide,
  makeDemo,
  signIn,
  startDemoDesk,
  type DemoDesk,
  type Size,
} from '../renderer/demo-desk.ts';

let desk: DemoDesk;
beforeAll(async () => {
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  await makeDemo(page);
  await context.close();
});
afterAll(async () => desk.stop());

async function openLibrary(size: Size = 'wide') {
  const { page, context, faults } = await desk.open({ size });
  await signIn(page, 'student');
  await page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: 'Library' }).click();
  await page.getByRole('heading', { name: 'Look a substance up' }).waitFor();
  return { page, context, faults, search: page.getByRole('searchbox', { name: /^Look a substance up/ }) };
}

describe('the library', () => {
  it('finds a misspelt name, and shows each value with its source and the deferral to the supplier', async () => {
    const { page, context, faults, search } = await openLibrary();
    await search.fill('benzoik acid');
    await search.press('Enter');
    await page.getByRole('heading', { name: 'benzoic acid', level: 1 }).waitFor();
    await page.getByRole('img', { name: 'Structure of benzoic acid' }).waitFor();
    const constants = page.getByRole('region', { name: 'Constants' });
    // Benzoic acid: 122.34 °C (CRC Handbook, 95th ed.), CAS 65-85-0, C7H6O2.
    expect(await constants.textContent()).toContain('122.34');
    expect(await constants.textContent()).toContain('65-85-0');
    await page.getByText('CRC Handbook of Chemistry and Physics').waitFor();
    await page.getByText('read the supplier’s safety data sheet').waitFor();
    // The molar mass opens its working.
    await page.getByText('Molar mass', { exact: true }).click();
    await page
      .getByText(/12\.011/)
      .first()
      .waitFor();
    expect(await search.inputValue()).toBe('benzoik acid');
    expect(faults).toEqual([]);
    await context.close();
  });

  it('finds by formula in any order and by registry number, and goes through what it found by keyboard', async () => {
    const { page, context, search } = await openLibrary();
    await search.fill('CH3CO2H');
    await page.getByText(/found, best first/).waitFor();
    await page.keyboard.press('ArrowDown');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toContain('acetic acid');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'acetic acid', level: 1 }).waitFor();
    // 7732-18-5 is water.
    await search.fill('7732-18-5');
    await search.press('Enter');
    await page.getByRole('heading', { name: 'water', level: 1 }).waitFor();
    await page.goBack();
    await page.getByRole('heading', { name: 'acetic acid', level: 1 }).waitFor();
    await search.fill('qqqqqqqq');
    await page.getByText('Nothing is called that here').waitFor();
    await context.close();
  });

  it('says of a substance without a classification that this means nothing, and knows an address that is none', async () => {
    const { page, context } = await openLibrary('small');
    await goTo(page, '#/library/acenaphthene');
    await page.getByText('That says nothing about how dangerous it is').waitFor();
    expect(await isTooWide(page)).toBe(false);
    await goTo(page, '#/library/philosophers-stone');
    await page.getByRole('heading', { name: 'There is no such page' }).waitFor();
    await context.close();
  });
});
