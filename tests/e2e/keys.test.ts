import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { X509Certificate } from 'node:crypto';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  goTo,
  makeDemo,
  richestRecord,
  signIn,
  startDemoDesk,
  type DemoDesk,
} from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let folder: string;
/** The demo's passphrase, of everybody and of the department. */
const demo = 'leaf by leaf by leaf';
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-keys-'));
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  await makeDemo(page);
  await context.close();
});
afterAll(async () => {
  await desk.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function choose(page: Page, name: string, item: RegExp): Promise<void> {
  await page.getByRole('button', { name: `The key of ${name}` }).click();
  await page.getByRole('menuitem', { name: item }).click();
}

describe('the department at the page of people', () => {
  it('gives a new key to a student who forgot the passphrase, who signs in with it', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'department');
    await goTo(page, '#/people');
    await choose(page, 'Tobias Fenn', /^New key/);
    // Nothing is sent that is not complete; each gap is named at its place.
    await page.getByRole('button', { name: 'Certify the new key' }).click();
    await page.getByText('Give a reason.').waitFor();
    await page.getByRole('textbox', { name: 'Reason' }).fill('Forgot the passphrase.');
    await page.getByRole('textbox', { name: 'New passphrase of Tobias Fenn' }).fill('five quiet brown foxes');
    await page.getByRole('textbox', { name: 'The new one again' }).fill('five quiet brown foxes');
    await page.getByRole('textbox', { name: 'The department’s passphrase' }).fill('not this one');
    await page.getByRole('button', { name: 'Certify the new key' }).click();
    await page.getByText('That is not the passphrase.').waitFor();
    await page.getByRole('textbox', { name: 'The department’s passphrase' }).fill(demo);
    await page.getByRole('button', { name: 'Certify the new key' }).click();
    await page.getByText('Tobias Fenn signs with a new key now.').waitFor();
    await page.getByText('“Forgot the passphrase.”').waitFor();
    expect(faults).toEqual([]);
    await context.close();

    const own = await desk.open();
    await own.page.getByRole('button', { name: 'Tobias Fenn' }).click();
    await own.page.getByRole('textbox', { name: 'Passphrase' }).fill('five quiet brown foxes');
    await own.page.getByRole('button', { name: 'Open', exact: true }).click();
    await own.page.getByRole('navigation', { name: 'Places' }).waitFor();
    await goTo(own.page, '#/people');
    // Others see how keys stand, and have nothing to do with them.
    await own.page.getByText('Key of the department', { exact: false }).first().waitFor();
    expect(await own.page.getByRole('button', { name: /^The key of/ }).count()).toBe(0);
    await own.context.close();
  });

  it('closes the account of one who leaves: the name is not among those to choose from', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'department');
    await goTo(page, '#/people');
    await choose(page, 'Imke Sallow', /^Close the account/);
    await page.getByRole('textbox', { name: 'Reason' }).fill('Finished the course.');
    await page.getByRole('textbox', { name: 'The department’s passphrase' }).fill(demo);
    await page.getByRole('button', { name: 'Retire the key' }).click();
    await page.getByText('The account of Imke Sallow is closed.').waitFor();
    await page.getByText(/^account closed/).waitFor();
    await context.close();

    const next = await desk.open();
    await next.page.getByRole('heading', { name: 'Whose record?' }).waitFor();
    expect(await next.page.getByRole('button', { name: 'Ottilie Marchbanks' }).count()).toBe(1);
    expect(await next.page.getByRole('button', { name: 'Imke Sallow' }).count()).toBe(0);
    await next.context.close();
  });

  it('hands on the certificate of the seal, and binds a record under it', async () => {
    const rich = await richestRecord(desk);
    const { page, context, faults } = await desk.open();
    await signIn(page, 'department');
    await goTo(page, '#/people');
    const [saved] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the certificate' }).click(),
    ]);
    const pem = join(folder, 'seal.pem');
    await saved.saveAs(pem);
    const certificate = new X509Certificate(readFileSync(pem));
    expect(certificate.subject).toContain('Wexcombe College');
    await page.getByText(certificate.fingerprint256).waitFor();

    await goTo(page, `#/record/${rich.recordId}`);
    await page.getByRole('button', { name: 'Bind to PDF' }).click();
    await page.getByRole('textbox', { name: 'The department’s passphrase' }).fill(demo);
    await page.getByRole('button', { name: 'Bind and seal' }).click();
    await page.getByRole('link', { name: /\.pdf$/ }).waitFor({ timeout: 60_000 });
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: /\.pdf$/ }).click(),
    ]);
    const pdf = join(folder, 'bound.pdf');
    await file.saveAs(pdf);
    const told = execFileSync('pdfsig', ['-nocert', pdf], { encoding: 'utf8' });
    expect(told).toContain('Signature is Valid.');
    expect(told).toContain('Total document signed');
    expect(faults).toEqual([]);
    await context.close();
  });
});
