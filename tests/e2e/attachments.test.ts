import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import { checkPdf } from '../../electron/check/check-file.ts';
import { png } from '../electron/export/pictures.ts';
import { askFrom, goTo, makeDemo, signIn, startDemoDesk, type DemoDesk } from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-attach-'));
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  await makeDemo(page);
  await context.close();
});
afterAll(async () => {
  await desk.stop();
  rmSync(folder, { recursive: true, force: true });
});

const needles = png({ width: 320, height: 200, seed: 5 });
const tableText = 'wavenumber / cm-1,transmittance\n1750,0.31\n';

describe('files attached to an entry', () => {
  it('are added, captioned, opened, taken out and put back, and print in the PDF', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'student');
    const recordId = (await askFrom(page, 'record.list', {})).records[0]!.id;
    const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
    let id = 0;
    const content = contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` });
    const entry = await askFrom(page, 'entry.begin', { recordId, content });
    await goTo(page, `#/entry/${entry.id}`);
    writeFileSync(join(folder, 'needles.png'), needles);
    writeFileSync(join(folder, 'infrared.csv'), tableText);
    writeFileSync(join(folder, 'disguised.png'), tableText);

    // Typed right before: both must arrive.
    await page.getByRole('textbox', { name: 'discussion' }).fill('A tenth stays in the mother liquor.');
    const picker = page.locator('input[type=file][aria-label="Files for Result"]');
    await picker.setInputFiles([join(folder, 'needles.png'), join(folder, 'infrared.csv')]);
    await page.getByRole('button', { name: 'Open needles.png' }).waitFor();
    await page.getByRole('textbox', { name: 'caption of needles.png' }).fill('White needles');
    await page.getByRole('link', { name: 'Save infrared.csv' }).waitFor();

    await picker.setInputFiles(join(folder, 'disguised.png'));
    await page.getByText('is not what its ending .png says').waitFor();

    // Drawn, not just framed: the canvas has taken the size of the picture.
    await expect
      .poll(() =>
        page
          .locator('button[aria-label="Open needles.png"] canvas')
          .evaluate((it) => (it as HTMLCanvasElement).width),
      )
      .toBe(320);
    await page.getByRole('button', { name: 'Open needles.png' }).click();
    await page.getByRole('heading', { name: 'White needles' }).waitFor();
    const download = page.waitForEvent('download');
    await page.getByRole('link', { name: 'Save the original' }).click();
    expect(readFileSync(await (await download).path()).equals(needles)).toBe(true);
    await page.getByRole('button', { name: 'Close' }).last().click();

    await page.getByRole('button', { name: 'Take out infrared.csv' }).click();
    await page.getByRole('link', { name: 'Save infrared.csv' }).waitFor({ state: 'detached' });
    await page.getByRole('button', { name: /^Take back: took out infrared\.csv/ }).click();
    await page.getByRole('link', { name: 'Save infrared.csv' }).waitFor();
    await expect
      .poll(async () => (await askFrom(page, 'entry.open', { entryId: entry.id })).content)
      .toMatchObject({
        discussion: 'A tenth stays in the mother liquor.',
        attachments: [{ name: 'needles.png', caption: 'White needles' }, { name: 'infrared.csv' }],
      });

    const { versionHash } = await askFrom(page, 'signing.read', { entryId: entry.id, meaning: 'performed' });
    const { revision } = await askFrom(page, 'entry.open', { entryId: entry.id });
    const { demoPassphrase } = await askFrom(page, 'setup.state', {});
    await askFrom(page, 'entry.sign', {
      entryId: entry.id,
      revision,
      versionHash,
      passphrase: demoPassphrase ?? '',
    });
    let job = await askFrom(page, 'entry.bind', { entryId: entry.id });
    while (job.state === 'running') {
      await page.waitForTimeout(200);
      job = await askFrom(page, 'job.state', { jobId: job.id });
    }
    expect(job.state).toBe('done');
    const bytes = Buffer.from(
      await page.evaluate(async (path) => {
        const reply = await fetch(path);
        return [...new Uint8Array(await reply.arrayBuffer())];
      }, job.file!.path),
    );
    const pdf = join(folder, 'entry.pdf');
    writeFileSync(pdf, bytes);
    const text = execFileSync('pdftotext', ['-raw', pdf, '-'], { encoding: 'utf8' }).replace(/\s+/g, ' ');
    expect(text).toContain('White needles');
    expect(text).toContain('infrared.csv');
    expect(execFileSync('pdfimages', ['-list', pdf], { encoding: 'utf8' })).toMatch(/\b320\s+200\b/);
    expect(await checkPdf(bytes)).toMatchObject({ ok: true, value: { isSound: true } });
    expect(faults).toEqual([]);
    await context.close();
  });
});
