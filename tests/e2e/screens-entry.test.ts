import { readFile } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { emptyContent } from '../../core/entry/empty-content.ts';
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

const passphrase = async (page: Page): Promise<string> =>
  (await askFrom(page, 'setup.state', {})).demoPassphrase ?? '';

/** Signs what stands in the draft, past the screens: what is under test here comes after. */
async function signAs(page: Page, entryId: string): Promise<void> {
  const entry = await askFrom(page, 'entry.open', { entryId });
  const { versionHash } = await askFrom(page, 'signing.read', { entryId, meaning: 'performed' });
  await askFrom(page, 'entry.sign', {
    entryId,
    revision: entry.revision,
    versionHash,
    passphrase: await passphrase(page),
  });
}

describe('beginning an entry', () => {
  it('shows a template before it is taken, and takes it to twice its size', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'student');
    await goTo(page, `#/record/${recordId}/new`);
    await page.getByRole('radio', { name: /^Acetylsalicylic acid/ }).check();
    const salicylic = page.getByRole('row', { name: /salicylic acid/ });
    const before = await salicylic.getByRole('cell').first().innerText();
    await page.getByRole('radio', { name: 'by a factor' }).check();
    await page.getByRole('textbox', { name: 'Factor' }).fill('0');
    await expect
      .poll(() => page.getByRole('textbox', { name: 'Factor' }).getAttribute('aria-invalid'))
      .toBe('true');
    await page.getByRole('textbox', { name: 'Factor' }).fill('2');
    const after = await salicylic.getByRole('cell').first().innerText();
    expect(parseFloat(after)).toBeCloseTo(2 * parseFloat(before), 6);

    await page.getByRole('button', { name: 'Begin this entry' }).click();
    await expect.poll(() => page.evaluate(() => location.hash)).toMatch(/^#\/entry\//);
    const entryId = await page.evaluate(() => location.hash.split('/')[2]!);
    const { content } = await askFrom(page, 'entry.open', { entryId });
    const row = content.rows.find((one) => one.name === 'salicylic acid');
    expect(parseFloat(row?.planned?.entered.text ?? '')).toBeCloseTo(parseFloat(after), 6);
    expect(content.template?.id).toBe('acetylsalicylic-acid');
    expect(faults).toEqual([]);
    await context.close();
  });

  it('asks for a title before an empty entry is begun, and puts it on the index page', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    await goTo(page, `#/record/${recordId}/new`);
    await page.getByRole('radio', { name: /^An empty entry/ }).check();
    await page.getByRole('button', { name: 'Begin an empty entry' }).click();
    await page.getByText('Give the entry a title').waitFor();
    // As typed: emoji and right-to-left text are somebody's title too.
    const title = 'Dye from β-naphthol, صبغة 🧪';
    await page.getByRole('textbox', { name: 'Title' }).fill(title);
    await page.getByRole('button', { name: 'Begin an empty entry' }).click();
    await expect.poll(() => page.evaluate(() => location.hash)).toMatch(/^#\/entry\//);
    await goTo(page, `#/record/${recordId}`);
    await page.getByRole('link', { name: title }).waitFor();
    await context.close();
  });
});

describe('signing and binding', () => {
  it('says in words what is signed before it asks for the passphrase', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    const { id: entryId } = await askFrom(page, 'entry.begin', {
      recordId,
      content: { ...emptyContent({ date: '2025-10-16' }), title: 'Signed through the dialog' },
    });
    await goTo(page, `#/entry/${entryId}`);
    await page.getByRole('button', { name: /^Sign and hand in/ }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByText('I carried out this work and this is my record of it.').waitFor();
    await dialog.getByText('No mass of product is noted.').waitFor();
    expect(await dialog.getByRole('textbox').count()).toBe(0);
    // Escape turns away, and nothing is signed.
    await page.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
    expect((await askFrom(page, 'entry.open', { entryId })).state).toBe('draft');

    await page.getByRole('button', { name: /^Sign and hand in/ }).click();
    await dialog.getByRole('button', { name: /I have read this/ }).click();
    const field = dialog.getByRole('textbox', { name: 'Your passphrase' });
    await expect.poll(() => field.evaluate((one) => one === document.activeElement)).toBe(true);
    await field.fill('not this one');
    await page.keyboard.press('Enter');
    await dialog.getByText('That is not the passphrase').first().waitFor();
    await field.fill(await passphrase(page));
    await page.keyboard.press('Enter');
    await dialog.waitFor({ state: 'detached' });
    expect((await askFrom(page, 'entry.open', { entryId })).state).toBe('signed');
    await context.close();
  });

  it('binds the record to a PDF that can be saved', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    await goTo(page, `#/record/${recordId}`);
    await page.getByRole('button', { name: 'Bind to PDF' }).click();
    const link = page.getByRole('dialog').getByRole('link', { name: 'Save the PDF' });
    await link.waitFor({ timeout: 120_000 });
    const downloading = page.waitForEvent('download');
    await link.click();
    const path = await (await downloading).path();
    expect((await readFile(path)).subarray(0, 5).toString()).toBe('%PDF-');
    await context.close();
  });
});

describe('the audit trail', () => {
  it('is filtered as one types, and saved as a table of what is shown', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'instructor');
    await goTo(page, '#/trail');
    await page.getByText(/ of \d+ events/).waitFor();
    await page.getByRole('combobox', { name: 'Action' }).selectOption('entry.countersign');
    await expect.poll(() => page.locator('summary').filter({ hasNotText: 'countersigned' }).count()).toBe(0);
    const shown = await page.locator('summary').count();
    expect(shown).toBeGreaterThan(0);
    await page.getByRole('button', { name: 'Save as a table' }).click();
    const link = page.getByRole('dialog').getByRole('link', { name: 'Save the table' });
    await link.waitFor();
    const downloading = page.waitForEvent('download');
    await link.click();
    const table = await readFile(await (await downloading).path(), 'utf8');
    const lines = table.split(/\r?\n/).filter((line) => line !== '');
    expect(lines.filter((line) => line.includes('countersigned')).length).toBeGreaterThanOrEqual(shown);
    expect(table).not.toContain('signed in');
    await page.keyboard.press('Escape');
    await page.getByRole('searchbox', { name: 'Words' }).fill('no such words anywhere');
    await page.getByText('Nothing matches').waitFor();
    await context.close();
  });
});

describe('the tray and the versions', () => {
  it('shows what was handed in, and word by word what was changed after a return', async () => {
    const student = await desk.open();
    await signIn(student.page, 'student');
    const first: EntryContent = {
      ...emptyContent({ date: '2025-10-16' }),
      title: 'Comparison of two versions',
      discussion: 'The yield was high because the product was wet.',
    };
    const { id: entryId } = await askFrom(student.page, 'entry.begin', { recordId, content: first });
    await signAs(student.page, entryId);

    const instructor = await desk.open();
    await signIn(instructor.page, 'instructor');
    await goTo(instructor.page, '#/tray');
    const slip = instructor.page.getByRole('article').filter({ hasText: 'Comparison of two versions' });
    await slip.waitFor();
    expect(await instructor.page.getByRole('navigation', { name: 'Places' }).innerText()).toMatch(
      /Tray\s*\d/,
    );
    const { versionHash } = await askFrom(instructor.page, 'signing.read', { entryId, meaning: 'returned' });
    await askFrom(instructor.page, 'entry.return', {
      entryId,
      versionHash,
      remark: 'Dry it to constant mass first.',
      passphrase: await passphrase(instructor.page),
    });

    const view = await askFrom(student.page, 'entry.open', { entryId });
    await askFrom(student.page, 'draft.save', {
      entryId,
      revision: view.revision,
      content: { ...first, discussion: 'The yield was low because the product was dry.' },
    });
    await signAs(student.page, entryId);

    await goTo(instructor.page, '#/shelf');
    await goTo(instructor.page, '#/tray');
    await slip.waitFor();
    expect(await slip.innerText()).toMatch(/Returned before\s*once/);

    await goTo(instructor.page, `#/entry/${entryId}/versions/1/2`);
    const changes = instructor.page.getByRole('region', { name: 'Discussion' });
    await changes.waitFor();
    const words = await changes.evaluate((section) => ({
      gone: [...section.querySelectorAll('dd del')].map((one) => one.textContent),
      come: [...section.querySelectorAll('dd ins')].map((one) => one.textContent),
    }));
    expect(words.gone.join(' ')).toMatch(/high.*wet/);
    expect(words.come.join(' ')).toMatch(/low.*dry/);
    expect(words.gone.join(' ')).not.toMatch(/because/);
    await expect
      .poll(() => instructor.page.getByText('Dry it to constant mass first.').first().isVisible())
      .toBe(true);

    // The first version can still be read, as the pages it was, and takes no pen.
    await instructor.page.getByRole('link', { name: 'Read version 1' }).click();
    await instructor.page.getByText('The yield was high because the product was wet.').first().waitFor();
    await instructor.page.getByText('Version 1, as it was signed').waitFor();
    expect(await instructor.page.getByRole('button', { name: /Countersign/ }).count()).toBe(0);
    expect(await instructor.page.locator('main textarea, main input[type=text]').count()).toBe(0);
    await student.context.close();
    await instructor.context.close();
  });
});
