import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { emptyContent } from '../../core/entry/empty-content.ts';
import { sampleOwnCompound, sampleOwnLiquid } from '../core/compounds/make-own-compound.ts';
import {
  askFrom,
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

async function openAs(role: 'student' | 'instructor' | 'department', size: Size = 'wide') {
  const { page, context, faults } = await desk.open({ size });
  page.setDefaultTimeout(15_000);
  await signIn(page, role);
  return { page, context, faults };
}
const box = (page: Page, name: string | RegExp) => page.getByRole('textbox', { name, exact: true });
const save = (page: Page, n: number) => page.getByRole('button', { name: `Save as version ${n}` }).click();
const add = (page: Page, content = sampleOwnLiquid()) =>
  askFrom(page, 'own-compound.save', { compoundId: null, n: 0, content, reason: '' });

describe('a compound of the department’s own', () => {
  it('is written by the department with errors beside the boxes, and a student’s row takes its values', async () => {
    const department = await openAs('department');
    const form = department.page;
    await goTo(form, '#/library');
    await form.getByRole('button', { name: 'Add a compound' }).click();
    await box(form, 'Name').fill('propyl pentanoate');
    await box(form, 'Structure (SMILES)').fill('CCCCC(=O)OCCC');
    await form.getByRole('button', { name: 'Take C8H16O2 as the formula' }).click();
    await box(form, 'CAS registry number').fill('141-06-8');
    await form.getByRole('combobox', { name: 'Family' }).selectOption('acid-derivative');
    await form.getByRole('combobox', { name: 'On the shelf' }).selectOption('liquid');
    await box(form, 'Density, in g/mL').fill('0.870');
    await box(form, 'Hazard statements').fill('H226 H399');
    // Nor does leaving the library: what is wrong is still told.
    await goTo(form, '#/shelf');
    await goTo(form, '#/library/new');
    await save(form, 1);
    await form.getByText('141-06-8 is no registry number').waitFor();
    await form.getByText('There is no hazard statement H399').waitFor();
    const density = form.getByRole('group', { name: 'Density', exact: true });
    await density.getByText('Say the temperature this value belongs to.').waitFor();
    await density.getByText('Say where this comes from').waitFor();
    expect((await askFrom(form, 'own-compound.list', {})).compounds).toEqual([]);

    // Check digit of 141-06-?: 6·1 + 0·2 + 1·3 + 4·4 + 1·5 = 30, so it is 0.
    await box(form, 'CAS registry number').fill('141-06-0');
    await box(form, 'Density, temperature, in °C').fill('20');
    await box(form, 'Density, source').fill('data sheet of the supplier, March 2026');
    await box(form, 'Hazard statements').fill('H226');
    await box(form, 'Classification, source').fill('label of the bottle');
    // Looking something up in between loses nothing.
    await form.getByRole('link', { name: /^acetanilide/ }).click();
    await form.getByRole('heading', { name: 'acetanilide', level: 1 }).waitFor();
    await form.goBack();
    await save(form, 1);
    await form.getByRole('heading', { name: 'propyl pentanoate', level: 1 }).waitFor();
    await form.getByText('The department’s own', { exact: true }).waitFor();
    expect(department.faults).toEqual([]);
    await department.context.close();

    const student = await openAs('student');
    const { page } = student;
    const [record] = (await askFrom(page, 'record.list', {})).records;
    const entry = await askFrom(page, 'entry.begin', {
      recordId: record!.id,
      content: { ...emptyContent({ date: '2026-03-12' }), title: 'A trial of an ester' },
    });
    await goTo(page, `#/entry/${entry.id}`);
    const search = page.getByRole('combobox', { name: /^Add a substance/ });
    // Two letters changed places, one left out.
    await search.fill('porpyl pentanoat');
    const found = page.getByRole('option', { name: /propyl pentanoate/ });
    await found.getByText('dept').waitFor();
    await found.click();
    await page
      .getByText('department’s own library, propyl pentanoate, version 1')
      .filter({ visible: true })
      .first()
      .waitFor();
    const row = async () => (await askFrom(page, 'entry.open', { entryId: entry.id })).content.rows[0];
    await expect.poll(async () => (await row())?.formula, { timeout: 15_000 }).toBe('C8H16O2');
    expect(await row()).toMatchObject({
      name: 'propyl pentanoate',
      smiles: 'CCCCC(=O)OCCC',
      supply: {
        kind: 'neat-liquid',
        density: { text: '0.870', unit: 'g/mL' },
        densityTemperature: { text: '20', unit: '°C' },
        assay: null,
      },
      valuesFrom:
        'department’s own library, propyl pentanoate, version 1 (density: data sheet of the supplier, March 2026)',
    });
    const { hazards } = (await askFrom(page, 'entry.open', { entryId: entry.id })).content;
    expect(hazards).toMatchObject([
      {
        substance: 'propyl pentanoate',
        statements: ['H226'],
        source: 'department’s own library, propyl pentanoate, version 1: label of the bottle',
      },
    ]);
    // A density changed by hand comes from there no more.
    await page.getByRole('button', { name: 'Details of propyl pentanoate' }).first().click();
    await page
      .getByRole('textbox', { name: /^density of propyl pentanoate/ })
      .first()
      .fill('0.875');
    await expect
      .poll(async () => (await row())?.supply, { timeout: 15_000 })
      .toMatchObject({
        density: { text: '0.875' },
      });
    expect(await row()).not.toHaveProperty('valuesFrom');
    expect(student.faults).toEqual([]);
    await student.context.close();
  });

  it('can be read by a student, with its versions, and not written', async () => {
    const department = await openAs('department');
    const saved = await add(department.page, sampleOwnCompound());
    const content = sampleOwnCompound({
      melting: { ...sampleOwnCompound().melting, to: '131' },
    });
    await askFrom(department.page, 'own-compound.save', {
      compoundId: saved.id,
      n: 1,
      content,
      reason: 'Measured again.',
    });
    await department.context.close();
    const { page, context, faults } = await openAs('student', 'small');
    await goTo(page, `#/library/${saved.id}`);
    await page.getByRole('heading', { name: '4-methoxyacetanilide', level: 1 }).waitFor();
    await page.getByText('127 to 131').first().waitFor();
    await page.getByText('1 place changed').or(page.getByText('one place changed')).waitFor();
    await page.locator('summary').filter({ hasText: 'Version 2' }).click();
    await page.locator('del').getByText('130').waitFor();
    await page.locator('ins').getByText('131').waitFor();
    expect(await page.getByRole('button', { name: /Change|Withdraw|Add a compound/ }).count()).toBe(0);
    expect(await isTooWide(page)).toBe(false);
    // The address of the form shows a student no form.
    await goTo(page, '#/library/new');
    await page.getByRole('heading', { name: 'There is no such page' }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('edited in two windows: the second is told what changed, and loses nothing', async () => {
    const one = await openAs('department');
    const { id } = await add(one.page, sampleOwnCompound({ name: 'compound in two windows' }));
    const two = await openAs('department');
    for (const { page } of [one, two]) {
      await goTo(page, `#/library/${id}`);
      await page.getByRole('button', { name: 'Change …' }).click();
    }
    await box(one.page, 'Melting point, to, in °C').fill('131');
    await save(one.page, 2);
    await one.page.getByText('is saved as version 2').waitFor();
    await box(two.page, /^Other names/).fill('a name of the second window');
    await save(two.page, 2);
    await two.page.getByText('saved version 2 of this compound in the meantime').waitFor();
    await two.page.locator('ins').getByText('131').waitFor();
    expect(await box(two.page, /^Other names/).inputValue()).toBe('a name of the second window');
    await two.page.getByRole('button', { name: 'Go on with mine, on top of version 2' }).click();
    await save(two.page, 3);
    await two.page.getByText('is saved as version 3').waitFor();
    const { versions } = await askFrom(two.page, 'own-compound.read', { compoundId: id });
    expect(versions.map(({ n }) => n)).toEqual([1, 2, 3]);
    await one.context.close();
    await two.context.close();
  });

  it('is offered in no search once it is withdrawn', async () => {
    const { page, context, faults } = await openAs('department');
    const { id } = await add(page, sampleOwnCompound({ name: 'withdrawable amide', synonyms: [] }));
    await goTo(page, `#/library/${id}`);
    const search = page.getByRole('searchbox');
    await search.fill('withdrawabel amid');
    await page.getByRole('link', { name: /^withdrawable amide/ }).waitFor();
    await page.getByRole('button', { name: 'Withdraw …' }).click();
    await page.getByRole('button', { name: 'Withdraw it' }).click();
    await page.getByText('Give a reason.').waitFor();
    await box(page, 'Reason').fill('Not kept in the store any more.');
    await page.getByRole('button', { name: 'Withdraw it' }).click();
    await page.getByText('Withdrawn by the department').waitFor();
    await expect
      .poll(() => page.getByRole('link', { name: /^withdrawable amide/ }).count(), { timeout: 15_000 })
      .toBe(0);
    expect(faults).toEqual([]);
    await context.close();
  });
});
