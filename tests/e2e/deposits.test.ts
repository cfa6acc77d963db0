import { execFileSync } from 'node:child_process';
import { appendFileSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { askFrom, goTo, makeDemo, signIn, startDemoDesk, type DemoDesk } from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-deposits-'));
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  await makeDemo(page);
  await context.close();
});
afterAll(async () => {
  await desk.stop();
  rmSync(folder, { recursive: true, force: true });
});

describe('deposits on the screen', () => {
  it('are made of all that is assessed, opened, read page by page, and put away', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'department');
    await goTo(page, '#/deposits');
    await page.getByRole('button', { name: 'None' }).waitFor();
    const boxes = await page.getByRole('checkbox').all();
    expect(boxes.length).toBeGreaterThan(1);
    for (const box of boxes) await box.check();
    const { demoPassphrase } = await askFrom(page, 'setup.state', {});
    await page.getByRole('button', { name: /Deposit \d+ records as one package/ }).click();
    await page.getByRole('textbox', { name: 'The department’s passphrase' }).fill(demoPassphrase ?? '');
    await page.getByRole('button', { name: 'Write the deposit' }).click();
    await page.getByText(/record 1 of \d+/).waitFor();
    const link = page.getByRole('link', { name: 'Save the deposit' });
    await link.waitFor({ timeout: 120_000 });
    const download = page.waitForEvent('download');
    await link.click();
    const path = join(folder, 'class.zip');
    await (await download).saveAs(path);
    await page.getByRole('button', { name: 'Close', exact: true }).last().click();
    execFileSync('unzip', ['-q', path, '-d', folder]);
    const [bag] = readdirSync(folder).filter((name) => name.startsWith('deposit-class-'));
    execFileSync('sha512sum', ['--quiet', '--strict', '-c', 'manifest-sha512.txt'], {
      cwd: join(folder, bag ?? ''),
    });

    const before = await askFrom(page, 'trail.list', {
      entryId: null,
      action: null,
      text: null,
      before: null,
      limit: 1,
    });
    const picker = page.locator('input[type=file][aria-label="Deposit to open"]');
    await picker.setInputFiles(path);
    const opened = page.getByRole('article', { name: 'Deposit class.zip' });
    await opened.getByText('✓ Sound').waitFor({ timeout: 60_000 });
    const records = opened.locator('details');
    for (const record of await records.all()) await record.locator('summary').click();
    const entry = opened.getByRole('row').filter({ hasText: 'Countersigned' }).first().getByRole('link');
    const title = (await entry.innerText()).trim();
    await entry.click();
    await page.getByText('From a deposit.').waitFor();
    await page.getByText('Checked: sound.').waitFor();
    await page.getByRole('article', { name: new RegExp(`^Entry \\d+: `) }).waitFor();
    expect(await page.getByRole('article', { name: title }).count()).toBe(1);
    expect(await page.locator('[contenteditable=true], textarea').count()).toBe(0);
    await page.getByRole('link', { name: 'The deposit', exact: true }).click();
    await opened.getByText('✓ Sound').waitFor();
    const after = await askFrom(page, 'trail.list', {
      entryId: null,
      action: null,
      text: null,
      before: null,
      limit: 1,
    });
    expect(after.total).toBe(before.total);
    await opened.getByRole('button', { name: 'Put away' }).click();
    await opened.waitFor({ state: 'detached' });

    // What was changed is shown as changed; what is no deposit is refused in words.
    const broken = join(folder, 'broken.zip');
    appendFileSync(join(folder, bag ?? '', 'data/README.txt'), ' ');
    execFileSync('python3', [
      '-c',
      'import shutil,sys; shutil.make_archive(sys.argv[1][:-4], "zip", sys.argv[2], sys.argv[3])',
      broken,
      folder,
      bag ?? '',
    ]);
    await picker.setInputFiles(broken);
    await page.getByText('✗ Not sound').waitFor({ timeout: 60_000 });
    await page.getByText('This file was changed after the deposit.').first().waitFor();
    await picker.setInputFiles({
      name: 'holiday.zip',
      mimeType: 'application/zip',
      buffer: Buffer.from('PK\u0003\u0004'),
    });
    await page.getByText(/holiday\.zip:/).waitFor();

    // Without a seal in use the PDFs inside go unsealed, and whoever deposits is told before.
    await askFrom(page, 'seal.retire', {
      departmentPassphrase: demoPassphrase ?? '',
      reason: 'Its term is over.',
    });
    for (const box of await page.getByRole('checkbox').all()) await box.check();
    await page.getByRole('button', { name: /Deposit \d+ records as one package/ }).click();
    await page.getByText('a PDF is bound without one').waitFor();
    await page.getByRole('button', { name: 'Write the deposit' }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });
});
