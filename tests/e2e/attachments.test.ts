import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
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

  /** What a browser hands over when files are let go or pasted; a real drag cannot be made from here. */
  const give = (
    page: Page,
    kind: 'drop' | 'paste',
    at: string,
    files: readonly { readonly name: string; readonly type: string; readonly data: Buffer }[],
  ): Promise<void> =>
    page.evaluate(
      ({ kind: how, at: where, list }) => {
        const transfer = new DataTransfer();
        for (const { name, type, data } of list) {
          transfer.items.add(new File([Uint8Array.from(data)], name, { type }));
        }
        const target = document.querySelector(where);
        if (target === null) throw new Error(`nothing is at ${where}`);
        const init = { bubbles: true, cancelable: true };
        target.dispatchEvent(
          how === 'drop'
            ? new DragEvent('drop', { ...init, dataTransfer: transfer })
            : new ClipboardEvent('paste', { ...init, clipboardData: transfer }),
        );
      },
      { kind, at, list: files.map(({ name, type, data }) => ({ name, type, data: [...data] })) },
    );
  const dragIn = (page: Page): Promise<void> =>
    page.evaluate(() => {
      const transfer = new DataTransfer();
      transfer.items.add(new File(['x'], 'x.txt'));
      dispatchEvent(new DragEvent('dragenter', { dataTransfer: transfer }));
    });
  const picture = (seed: number): { name: string; type: string; data: Buffer } => ({
    name: 'image.png',
    type: 'image/png',
    data: png({ width: 40, height: 30, seed }),
  });

  it('are let go on a section, pasted, and taken at the bench by choosing, dropping and pasting', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'student');
    const recordId = (await askFrom(page, 'record.list', {})).records[0]!.id;
    const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
    let id = 0;
    const content = contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` });
    const entry = await askFrom(page, 'entry.begin', { recordId, content });
    const attached = async (): Promise<readonly (readonly string[])[]> =>
      (await askFrom(page, 'entry.open', { entryId: entry.id })).content.attachments.map((note) => [
        note.section,
        note.name.replace(/\d\d\.\d\d\.\d\d/, 'HH.MM.SS'),
        note.caption,
      ]);

    await goTo(page, `#/entry/${entry.id}`);
    await page.getByRole('textbox', { name: 'discussion' }).waitFor();
    await dragIn(page);
    const landing = page.getByRole('region', { name: /^Let go here: Result/i });
    await landing.waitFor();
    await give(page, 'drop', '.landing[aria-label="Let go here: Result"]', [
      { name: 'infrared.csv', type: 'text/csv', data: Buffer.from(tableText) },
    ]);
    await landing.waitFor({ state: 'detached' });
    await expect.poll(attached).toEqual([['result', 'infrared.csv', '']]);
    // Let go beside a landing, it is nothing, and the page stays.
    await give(page, 'drop', 'body', [picture(1)]);
    await give(page, 'paste', 'body', [picture(2)]);
    await expect.poll(attached).toEqual([
      ['result', 'infrared.csv', ''],
      ['result', 'pasted HH.MM.SS.png', ''],
    ]);

    await goTo(page, `#/entry/${entry.id}/bench`);
    await page.getByRole('button', { name: 'Photograph or file …' }).waitFor();
    await page
      .locator('input[type=file][aria-label="Files for step 1"]')
      .setInputFiles({ name: 'melt.png', mimeType: 'image/png', buffer: picture(3).data });
    await page.getByRole('list', { name: 'Files of step 1' }).getByText('melt.png').waitFor();
    await give(page, 'paste', 'body', [picture(4)]);
    await page.getByText(/^pasted \d\d\.\d\d\.\d\d\.png$/).waitFor();
    await dragIn(page);
    await page.getByRole('region', { name: 'Let go here: attached to step 1' }).waitFor();
    await give(page, 'drop', 'body', [
      { name: 'flask.png', type: 'image/png', data: picture(5).data },
      { name: 'flask.exe', type: 'application/octet-stream', data: Buffer.from('MZ') },
    ]);
    await page.getByRole('list', { name: 'Files of step 1' }).getByText('flask.png').waitFor();
    await page.getByText(/flask\.exe: /).waitFor();
    await expect
      .poll(async () => (await attached()).slice(2))
      .toEqual([
        ['observations', 'melt.png', 'Step 1'],
        ['observations', 'pasted HH.MM.SS.png', 'Step 1'],
        ['observations', 'flask.png', 'Step 1'],
      ]);
    expect(faults).toEqual([]);
    await context.close();
  });
});
