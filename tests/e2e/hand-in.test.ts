import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import { startHost, type RunningHost } from '../../electron/host/start-host.ts';
import { askFrom, goTo, makeDemo, signIn, startDemoDesk, type DemoDesk } from '../renderer/demo-desk.ts';

let school: DemoDesk;
let home: RunningHost | null = null;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-two-'));
  school = await startDemoDesk();
  const { page, context } = await school.open();
  await makeDemo(page);
  await context.close();
});
afterAll(async () => {
  await home?.stop();
  await school.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** Presses the link of the finished file. */
async function saved(page: Page, link: string, name: string): Promise<string> {
  const download = page.waitForEvent('download');
  await page.getByRole('link', { name: link, exact: true }).click();
  const path = join(folder, name);
  await (await download).saveAs(path);
  await page.getByRole('button', { name: 'Close', exact: true }).last().click();
  return path;
}
async function handOn(page: Page, entryId: string, passphrase: string, name: string): Promise<string> {
  await goTo(page, `#/entry/${entryId}`);
  await page.getByRole('button', { name: 'More', exact: false }).last().click();
  await page.getByRole('menuitem', { name: /Hand on as a file/ }).click();
  await page.getByRole('textbox', { name: 'Your passphrase' }).fill(passphrase);
  await page.getByRole('button', { name: 'Write the file' }).click();
  return saved(page, 'Save the file', name);
}
async function takeIn(page: Page, path: string): Promise<void> {
  await page.locator('input[type=file][aria-label="Hand-in file"]').setInputFiles(path);
  await page.getByRole('button', { name: 'Take it in' }).click();
  await page.getByText('✓ Taken in.', { exact: true }).waitFor();
}

describe('two notebooks', () => {
  it('exchange an entry by files: home, instructor, and home again', async () => {
    const student = await school.open();
    await signIn(student.page, 'student');
    const { demoPassphrase } = await askFrom(student.page, 'setup.state', {});
    const passphrase = demoPassphrase ?? '';
    const printedName = (await askFrom(student.page, 'session.current', {})).session!.person.printedName;
    await student.page.getByRole('button', { name: /lock, passphrase, sign out/ }).click();
    await student.page.getByRole('menuitem', { name: /A notebook for my own computer/ }).click();
    const path = await saved(student.page, 'Save the notebook', 'home.fairleaf');

    home = await startHost({ path, port: 0, folder: school.pages });
    const context = await school.browser.newContext({ locale: 'en-GB' });
    const page = await context.newPage();
    await page.goto(home.newAddress());
    await signIn(page, 'student', printedName);
    const recordId = (await askFrom(page, 'record.list', {})).records[0]!.id;
    const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
    let id = 0;
    const content = contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` });
    const entry = await askFrom(page, 'entry.begin', { recordId, content });
    const { versionHash } = await askFrom(page, 'signing.read', { entryId: entry.id, meaning: 'performed' });
    await askFrom(page, 'entry.sign', { entryId: entry.id, revision: 1, versionHash, passphrase });
    const handedIn = await handOn(page, entry.id, passphrase, 'handed-in.zip');

    const teacher = await school.open();
    await signIn(teacher.page, 'instructor');
    await goTo(teacher.page, '#/tray');
    await teacher.page.getByRole('button', { name: 'Take in a file' }).click();
    const broken = join(folder, 'broken.zip');
    writeFileSync(broken, 'PK\u0003\u0004 and nothing else');
    await teacher.page.locator('input[type=file][aria-label="Hand-in file"]').setInputFiles(broken);
    await teacher.page.getByText(/broken\.zip:/).waitFor();
    await takeIn(teacher.page, handedIn);
    await teacher.page.getByRole('link', { name: content.title }).click();
    await teacher.page.getByRole('button', { name: 'Countersign …' }).waitFor();
    await askFrom(teacher.page, 'entry.countersign', {
      entryId: entry.id,
      versionHash,
      mark: '9/10',
      passphrase,
    });
    const answer = await handOn(teacher.page, entry.id, passphrase, 'answer.zip');

    await goTo(page, '#/take-in');
    await takeIn(page, answer);
    await page.getByText('It was countersigned; it is locked.').waitFor();
    await page.getByRole('link', { name: content.title }).click();
    await page.getByRole('button', { name: 'More', exact: false }).last().waitFor();
    expect(await askFrom(page, 'entry.open', { entryId: entry.id })).toMatchObject({
      state: 'countersigned',
      mark: '9/10',
    });
    const report = await askFrom(page, 'notebook.check', {});
    expect(report.isSound).toBe(true);
    expect([...student.faults, ...teacher.faults]).toEqual([]);
    await context.close();
    await student.context.close();
    await teacher.context.close();
  });
});
