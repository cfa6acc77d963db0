import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { Measure } from '../../core/reaction/table-types.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import { sampleOwnCompound } from '../core/compounds/make-own-compound.ts';
import { askFrom, goTo, signIn, type DemoDesk, type DemoRole, type RichRecord } from './demo-desk.ts';

/** A place to be pictured: where it is, and what is done there before the picture. */
export type Place = readonly [name: string, hash: string, then?: (page: Page) => Promise<void>];

/** What the pictures need and the demo does not have: made once, before the first picture. */
export interface LookProps {
  readonly ownCompoundId: string;
  /** An entry with counted drops, planned and taken, and the worksheet of a mixed solvent. */
  readonly dropsEntryId: string;
  /** The entry with most signed versions. */
  readonly versionedId: string;
  /** A deposit of the whole class. */
  readonly depositPath: string;
  drop(): Promise<void>;
}

const drops: Measure = {
  by: 'volume',
  entered: { text: '8', unit: 'drops' },
  instrument: null,
  drop: {
    drops: { text: '20', unit: 'drops' },
    make: { text: '1.0', unit: 'mL' },
    uncertainty: { text: '0.3', unit: 'mL' },
    countUncertainty: null,
  },
};

/** The first acid of the plan counted in drops; a recrystallisation from ethanol and water beside it. */
function contentWithDrops(): EntryContent {
  const template = templates.find((one) => one.id === 'acetylsalicylic-acid');
  if (template === undefined) throw new Error('the template is gone');
  let id = 0;
  const plain = contentFromTemplate(template, { date: '2026-03-12', newId: () => `look-${++id}` });
  return {
    ...plain,
    rows: plain.rows.map((row) =>
      row.name === 'phosphoric acid' ? { ...row, planned: drops, taken: drops } : row,
    ),
  };
}

async function makeDeposit(page: Page, path: string): Promise<void> {
  await goTo(page, '#/deposits');
  await page.getByRole('button', { name: 'None' }).waitFor();
  for (const box of await page.getByRole('checkbox').all()) await box.check();
  const { demoPassphrase } = await askFrom(page, 'setup.state', {});
  await page.getByRole('button', { name: /Deposit \d+ records as one package/ }).click();
  await page.getByRole('textbox', { name: 'The department’s passphrase' }).fill(demoPassphrase ?? '');
  await page.getByRole('button', { name: 'Write the deposit' }).click();
  const link = page.getByRole('link', { name: 'Save the deposit' });
  await link.waitFor({ timeout: 120_000 });
  const [download] = await Promise.all([page.waitForEvent('download'), link.click()]);
  await download.saveAs(path);
}

/** Makes what the further places show: an own compound with two versions, a draft, a deposit. */
export async function makeLookProps(desk: DemoDesk, rich: RichRecord): Promise<LookProps> {
  const folder = await mkdtemp(join(tmpdir(), 'fairleaf-look-'));
  const depositPath = join(folder, 'preparative-chemistry.zip');
  const department = await desk.open();
  await signIn(department.page, 'department');
  await makeDeposit(department.page, depositPath);
  const save = (compoundId: string | null, n: number, to: string, reason: string) =>
    askFrom(department.page, 'own-compound.save', {
      compoundId,
      n,
      content: sampleOwnCompound({ melting: { ...sampleOwnCompound().melting, to } }),
      reason,
    });
  const { id: ownCompoundId } = await save(null, 0, '130', '');
  await save(ownCompoundId, 1, '131', 'Measured again.');
  await department.context.close();

  const student = await desk.open();
  await signIn(student.page, 'student', rich.owner);
  const { lines } = await askFrom(student.page, 'record.open', { recordId: rich.recordId });
  const [versioned] = lines.toSorted((a, b) => b.versionCount - a.versionCount);
  const content = contentWithDrops();
  const { id: dropsEntryId } = await askFrom(student.page, 'entry.begin', {
    recordId: rich.recordId,
    content,
  });
  await student.context.close();
  return {
    ownCompoundId,
    dropsEntryId,
    versionedId: versioned?.entryId ?? '',
    depositPath,
    drop: () => rm(folder, { recursive: true, force: true }),
  };
}

const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first();

const keyStep =
  (item: RegExp) =>
  async (page: Page): Promise<void> => {
    await button(page, 'The key of Tobias Fenn').click();
    await page.getByRole('menuitem', { name: item }).click();
  };

async function openDeposit(page: Page, { depositPath }: LookProps): Promise<void> {
  await page.locator('input[type=file][aria-label="Deposit to open"]').setInputFiles(depositPath);
  await page.getByText('✓ Sound').first().waitFor({ timeout: 60_000 });
  const closed = page.getByRole('article').locator('details:not([open]) > summary');
  while ((await closed.count()) > 0) await closed.first().click();
}

const departmentPlaces = (rich: RichRecord, props: LookProps): Place[] => [
  ['deposits', '#/deposits'],
  [
    'deposits-asking',
    '#/deposits',
    async (page) => {
      await button(page, 'None').waitFor();
      for (const box of await page.getByRole('checkbox').all()) await box.check();
      await button(page, /Deposit \d+ records as one package/).click();
      await page.getByRole('textbox', { name: 'The department’s passphrase' }).waitFor();
    },
  ],
  ['deposits-opened', '#/deposits', (page) => openDeposit(page, props)],
  [
    'deposit-entry',
    '#/deposits',
    async (page) => {
      if ((await page.getByText('✓ Sound').count()) === 0) await openDeposit(page, props);
      const closed = page.getByRole('article').locator('details:not([open]) > summary');
      while ((await closed.count()) > 0) await closed.first().click();
      await page.getByRole('row').filter({ hasText: 'Countersigned' }).first().getByRole('link').click();
      await page.getByText('From a deposit.').waitFor();
    },
  ],
  ['own-form', '#/library/new'],
  [
    'own-form-errors',
    '#/library/new',
    async (page) => {
      await page.getByRole('textbox', { name: 'Name', exact: true }).fill('propyl pentanoate');
      await page.getByRole('textbox', { name: 'CAS registry number', exact: true }).fill('141-06-8');
      await page.getByRole('textbox', { name: 'Density, in g/mL', exact: true }).fill('0.870');
      await page.getByRole('textbox', { name: 'Hazard statements', exact: true }).fill('H226 H399');
      await button(page, 'Save as version 1').click();
      await page.getByText('There is no hazard statement H399').waitFor();
    },
  ],
  ['own-withdraw', `#/library/${props.ownCompoundId}`, (page) => button(page, 'Withdraw …').click()],
  ['key-new', '#/people', keyStep(/^New key/)],
  ['key-close', '#/people', keyStep(/^Close the account/)],
  ['key-wrong-hands', '#/people', keyStep(/^Key in wrong hands/)],
  ['key-renew', '#/people', (page) => button(page, 'Renew the certificate').click()],
  ['key-passphrase', '#/people', (page) => button(page, 'Change the passphrase').click()],
  ['seal-new', '#/people', (page) => button(page, /new seal|Make the seal/).click()],
  ['seal-retire', '#/people', (page) => button(page, 'Retire the seal').click()],
  ['bind-seal', `#/record/${rich.recordId}`, (page) => button(page, 'Bind to PDF').click()],
];

const studentPlaces = (props: LookProps): Place[] => [
  ['differences', `#/entry/${props.versionedId}/versions`],
  [
    'drops-planned',
    `#/entry/${props.dropsEntryId}`,
    async (page) => {
      await button(page, 'Details of phosphoric acid').click();
      await button(page, 'Details of phosphoric acid').scrollIntoViewIfNeeded();
    },
  ],
  [
    'drops-taken',
    `#/entry/${props.dropsEntryId}`,
    async (page) => {
      const tab = page.getByRole('tab', { name: /^Done/ });
      if ((await tab.count()) > 0) await tab.click();
      const size = page.getByRole('textbox', { name: /drops counted off.*phosphoric acid, taken/ }).first();
      await size.scrollIntoViewIfNeeded();
    },
  ],
  [
    'mixed-solvent',
    `#/entry/${props.dropsEntryId}`,
    async (page) => {
      const tab = page.getByRole('tab', { name: /^Intended/ });
      if ((await tab.count()) > 0) await tab.click();
      const sheet = page.getByRole('region', { name: /mixed solvent|mixture of solvents/i }).first();
      if ((await sheet.count()) === 0) {
        await page.getByRole('button', { name: 'calculation', exact: true }).click();
        const search = page.getByRole('searchbox', { name: 'Look for a calculation' });
        await search.fill('mixed solvent');
        await search.press('Enter');
      }
      await sheet.scrollIntoViewIfNeeded();
    },
  ],
  ['bench-drops', `#/entry/${props.dropsEntryId}/bench`],
];

/** The places beside those every notebook has: dialogs, forms, what is rare. */
export function furtherPlaces(role: DemoRole, rich: RichRecord, props: LookProps): readonly Place[] {
  const all: Place[] = [
    ['library', '#/library'],
    ['library-own', `#/library/${props.ownCompoundId}`],
  ];
  if (role === 'department') all.push(...departmentPlaces(rich, props));
  if (role === 'student') all.push(...studentPlaces(props));
  return all;
}
