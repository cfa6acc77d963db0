import { execFileSync } from 'node:child_process';
import { copyFileSync, readFileSync } from 'node:fs';
import { join, dirname } from 'node:path';
import Database from 'better-sqlite3';
import type { Download, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkFile } from '../../electron/check/check-file.ts';
import { startDemoDesk, type DemoDesk, type DeskWindow } from '../renderer/demo-desk.ts';

/**
 * The whole job, as people do it: real pages in real Chromium on a real notebook, two people at two windows.
 * Nothing is asked for past the screens.
 */
const student = { name: 'Piers Calloway', passphrase: 'a quiet corner by the window' };
const instructor = { name: 'Dr Nadia Sorrel', passphrase: 'three kettles and a clock' };
const registry = { name: 'Registry of Chemistry', passphrase: 'ledgers in a dry cellar' };

let desk: DemoDesk;
let ada: DeskWindow;
let moss: DeskWindow;
let pdfPath = '';
const notebookPath = (): string => {
  const { notebook } = desk.host.running.program;
  if (!notebook.ok) throw new Error('the notebook is not open');
  return notebook.value.path;
};

beforeAll(async () => {
  desk = await startDemoDesk();
  ada = await desk.open();
  moss = await desk.open();
});
afterAll(async () => desk.stop());

const box = (page: Page, name: RegExp | string) => page.getByRole('textbox', { name }).first();
async function signIn(page: Page, who: typeof student): Promise<void> {
  await page.getByRole('button', { name: who.name }).click();
  await box(page, 'Passphrase').fill(who.passphrase);
  await page.getByRole('button', { name: 'Open', exact: true }).click();
  await page.getByRole('navigation', { name: 'Places' }).waitFor({ timeout: 60_000 });
}
/** Reads what is signed, gives the passphrase, signs. */
async function sign(
  page: Page,
  who: typeof student,
  action: RegExp,
  remark?: readonly [RegExp, string],
): Promise<void> {
  const dialog = page.getByRole('dialog');
  if (remark !== undefined) await dialog.getByRole('textbox', { name: remark[0] }).fill(remark[1]);
  await dialog.getByRole('button', { name: /I have read this/ }).click();
  await dialog.getByRole('textbox', { name: 'Your passphrase' }).fill(who.passphrase);
  await dialog.getByRole('button', { name: action }).click();
  await dialog.waitFor({ state: 'detached', timeout: 30_000 });
}
const shown = async (page: Page, name: RegExp): Promise<string> =>
  (await page.getByRole('button', { name }).first().getAttribute('aria-label')) ?? '';

describe('from a plan to a countersigned, locked entry bound to PDF', () => {
  it('begins a department’s notebook', async () => {
    const { page } = ada;
    await page.getByRole('button', { name: /Start my own/ }).click();
    await page.getByLabel('College or university').fill('Hollin Bank Institute');
    await page.getByLabel('Department').fill('Chemistry');
    await page.getByRole('button', { name: 'Next' }).click();
    await box(page, 'Passphrase of the department').fill('seal of the old laboratory');
    await box(page, 'The same again').fill('seal of the old laboratory');
    await page.getByRole('button', { name: 'Next' }).click();
    for (const [i, who] of [registry, instructor, student].entries()) {
      const person = page.getByRole('group', { name: `Person ${i + 1}` });
      await person.getByLabel('Printed name').fill(who.name);
      await person.getByRole('textbox', { name: 'Passphrase' }).fill(who.passphrase);
    }
    await page.getByRole('button', { name: 'Begin the notebook' }).click();
    await page.getByRole('heading', { name: 'Whose record?' }).waitFor({ timeout: 90_000 });
  });

  it('plans the preparation from a template, and sees the table worked out', async () => {
    const { page } = ada;
    await signIn(page, student);
    await page.getByRole('button', { name: 'Begin the first one' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('textbox', { name: 'Title' }).fill('Practical record, second year');
    await dialog.getByRole('textbox', { name: 'Course' }).fill('Preparative chemistry II');
    await dialog.getByRole('button', { name: 'Lay it on the shelf' }).click();
    await dialog.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Begin the first entry' }).click();
    await page.getByRole('radio', { name: /^Acetylsalicylic acid/ }).check();
    await page.getByRole('button', { name: 'Begin this entry' }).click();
    await page.getByRole('heading', { name: 'Acetylsalicylic acid', level: 1 }).waitFor();

    await page.getByText('salicylic acid limits; acetic anhydride is next').first().waitFor();
    // 2.50 g · 0.99 / 138.12 g/mol = 17.92 mmol; · 180.16 g/mol = 3.228 g. By hand.
    expect(await shown(page, /^amount of salicylic acid, planned/)).toContain('17.92');
    expect(await shown(page, /^theoretical yield, planned/)).toContain('3.228');
    await box(page, /^mass of salicylic acid, planned/).fill('4.00');
    // 4.00 / 2.50 · 3.2283 = 5.165 g.
    await expect.poll(() => shown(page, /^theoretical yield, planned/)).toMatch(/5\.1[67]/);
    await box(page, /^mass of salicylic acid, planned/).fill('2.50');
  });

  it('writes down what was taken and seen, and works out the yield on it', async () => {
    const { page } = ada;
    await box(page, 'mass of salicylic acid, taken, in g').fill('2.60');
    await box(page, 'volume of acetic anhydride, taken, in mL').fill('5.0');
    await box(page, 'volume of phosphoric acid, taken, in mL').fill('0.40');
    await page.getByRole('checkbox', { name: 'step 1 done' }).check();
    await box(page, 'seen at step 1').fill('White crystals under a clear liquid; أبيض 🧪');
    await box(page, 'temperature read at step 2, in °C').fill('88');
    await box(page, 'temperature read at step 2, in °C').press('Enter');
    await box(page, 'seen at step 2').fill('Clear after six minutes.');
    await page.getByRole('checkbox', { name: 'step 2 done' }).check();
    await page
      .getByText(/8.°C too warm/)
      .first()
      .waitFor();

    await box(page, 'mass of the crude product, in g').fill('2.94');
    await box(page, 'mass of the pure product, in g').fill('2.20');
    await box(page, 'melting range found, from, in °C').fill('133');
    await box(page, 'melting range found, to, in °C').fill('135');
    await box(page, 'appearance of the product').fill('Colourless needles.');
    // 2.60 · 0.99 / 138.12 · 180.16 = 3.357 g; 2.20 / 3.357 = 65.5 %. By hand.
    await expect.poll(() => shown(page, /^theoretical yield, taken|^theoretical yield: /)).toContain('3.36');
    await expect.poll(() => shown(page, /^pure yield: /)).toMatch(/: 65\.5|: 66/);
    await box(page, 'discussion').fill('The product is pure.');
  });

  it('signs, and hands in', async () => {
    const { page } = ada;
    await page.getByRole('button', { name: 'Sign and hand in …' }).click();
    await page
      .getByRole('dialog')
      .getByText('I carried out this work and this is my record of it.')
      .waitFor();
    await sign(page, student, /^Sign and hand in/);
    await page.getByText('Handed in').first().waitFor();
    expect(await page.getByRole('textbox').count()).toBe(0);
  });

  it('is read by the instructor, who comments and returns it', async () => {
    const { page } = moss;
    await page.reload();
    await signIn(page, instructor);
    const slip = page.getByRole('article').filter({ hasText: 'Acetylsalicylic acid' });
    await slip.waitFor();
    expect(await slip.innerText()).toMatch(/too warm/);
    await slip.getByRole('link').first().click();
    await page.getByRole('heading', { name: 'Acetylsalicylic acid', level: 1 }).waitFor();
    await page.getByRole('button', { name: 'Comment on step 2' }).last().click();
    await box(page, 'Your comment on step 2').fill('Why so warm?');
    await page.getByRole('button', { name: 'Write it in the margin' }).click();
    await page.getByRole('button', { name: /^Comment by .* on step 2, 1 open/ }).waitFor();
    await page.getByRole('button', { name: 'Return …' }).click();
    await sign(page, instructor, /^Sign and return/, [/put right/, 'Say where the rest went.']);
    await page
      .getByText(/returned/i)
      .first()
      .waitFor();
  });

  it('comes back corrected, and is countersigned', async () => {
    const { page } = ada;
    await page.reload();
    await page.getByRole('heading', { name: 'Acetylsalicylic acid', level: 1 }).waitFor();
    await page.getByText('Say where the rest went.').first().waitFor();
    await page.getByRole('button', { name: /^Settled/ }).click();
    await box(page, 'discussion').fill('The product is pure. A tenth stays dissolved in the mother liquor.');
    await page.getByRole('button', { name: 'Sign and hand in …' }).click();
    await sign(page, student, /^Sign and hand in/);

    const { page: reviewer } = moss;
    await reviewer.reload();
    await reviewer.getByRole('button', { name: 'Countersign …' }).click();
    await sign(reviewer, instructor, /^Countersign and lock/, [/^Mark/, '17/20']);
    await reviewer
      .getByText(/countersigned/i)
      .first()
      .waitFor();
    expect(await reviewer.getByRole('button', { name: /Return …|Countersign …/ }).count()).toBe(0);
  });

  it('is locked: the page lets nobody type, and the index page says so', async () => {
    const { page } = ada;
    await page.reload();
    await page.getByRole('heading', { name: 'Acetylsalicylic acid', level: 1 }).waitFor();
    expect(await page.getByRole('textbox').count()).toBe(0);
    await page.getByRole('button', { name: 'Practical record, second year' }).click();
    const row = page.getByRole('row', { name: /Acetylsalicylic acid/ });
    await row.waitFor();
    expect(await row.innerText()).toMatch(/17\/20/);
    expect(await row.innerText()).toMatch(/countersigned/i);
    await row.getByRole('link').first().click();
  });

  it('is bound to a PDF that says everything the screens said', async () => {
    const { page } = ada;
    await page.getByRole('heading', { name: 'Acetylsalicylic acid', level: 1 }).waitFor();
    await page.getByRole('button', { name: 'More for this entry' }).click();
    await page.getByRole('menuitem', { name: /Make the PDF/ }).click();
    const link = page.getByRole('dialog').getByRole('link', { name: 'Save the PDF' });
    await link.waitFor({ timeout: 120_000 });
    const downloading: Promise<Download> = page.waitForEvent('download');
    await link.click();
    pdfPath = await (await downloading).path();
    const text = execFileSync('pdftotext', ['-layout', pdfPath, '-'], { encoding: 'utf8' });
    const flat = text.replace(/\s+/g, ' ');
    for (const words of [
      'Acetylsalicylic acid',
      'Hollin Bank Institute',
      'Preparative chemistry II',
      student.name,
      instructor.name,
      'I carried out this work and this is my record of it.',
      'I have reviewed this record and accept it.',
      '17/20',
      '2.60',
      '2.94',
      '2.20',
      '133',
      '3.36',
      '65.5',
      'too warm',
      'Colourless needles.',
      'A tenth stays dissolved in the mother liquor.',
      'Why so warm?',
      'Audit trail',
      'page 1 of',
    ]) {
      expect(flat.toLowerCase(), words).toContain(words.toLowerCase());
    }
    await page.keyboard.press('Escape');
  });

  it('can be checked, in the program and outside it', async () => {
    const { page } = moss;
    await page.getByRole('link', { name: 'Check', exact: true }).click();
    await page
      .getByRole('button', { name: /Check (the|this) notebook|Check now/ })
      .first()
      .click();
    await page
      .getByText(/sound|as it was written/i)
      .first()
      .waitFor({ timeout: 60_000 });
    const pdf = await checkFile(pdfPath);
    expect(pdf.ok && pdf.value.isSound).toBe(true);
    expect(ada.faults).toEqual([]);
    expect(moss.faults).toEqual([]);
  });

  it('shows where, when one byte of the locked version is changed by raw SQL', async () => {
    const path = notebookPath();
    const database = new Database(path);
    database.exec('drop trigger version_is_final');
    const changed = database
      .prepare(`update version set bytes = replace(bytes, '"2.20"', '"2.90"') where n = 2`)
      .run();
    expect(changed.changes).toBe(1);
    database.close();
    const copy = join(dirname(path), 'copy-for-check.fairleaf');
    copyFileSync(path, copy);
    copyFileSync(`${path}-wal`, `${copy}-wal`);
    expect(readFileSync(copy).length).toBeGreaterThan(0);

    const { page } = moss;
    await page
      .getByRole('button', { name: /Check (the|this) notebook|Check (now|again)/ })
      .first()
      .click();
    await page
      .getByText(/entry 1 of “Practical record, second year”, version 2/)
      .first()
      .waitFor({ timeout: 60_000 });
    await page
      .getByText(/This version has been changed since it was signed/)
      .first()
      .waitFor();
    const outside = await checkFile(copy);
    expect(outside.ok && outside.value.isSound).toBe(false);
    const broken = outside.ok ? outside.value.findings.filter((one) => one.severity === 'broken') : [];
    expect(broken.some((one) => one.place === 'entry 1 of “Practical record, second year”, version 2')).toBe(
      true,
    );
  });
});
