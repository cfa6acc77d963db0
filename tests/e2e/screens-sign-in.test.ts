import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { askFrom, makeDemo, signIn, startDemoDesk, type DemoDesk } from '../renderer/demo-desk.ts';

describe('the first start', () => {
  let desk: DemoDesk;
  beforeAll(async () => {
    desk = await startDemoDesk();
  });
  afterAll(async () => desk.stop());

  it('begins a notebook of one’s own, naming at each field what is missing', async () => {
    const { page, faults } = await desk.open();
    await page.getByRole('button', { name: /Start my own/ }).click();
    await page.getByRole('button', { name: 'Next' }).click();
    await expect.poll(() => page.getByText('Name the college or university.').isVisible()).toBe(true);
    expect(await page.getByLabel('College or university').getAttribute('aria-invalid')).toBe('true');

    await page.getByLabel('College or university').fill('Hollin Bank Institute');
    await page.getByLabel('Department').fill('Chemistry');
    await page.getByRole('button', { name: 'Next' }).click();
    await page.getByRole('textbox', { name: 'Passphrase of the department' }).fill('short');
    await page.getByRole('textbox', { name: 'The same again' }).fill('short');
    await page.getByRole('button', { name: 'Next' }).click();
    await expect.poll(() => page.getByText(/At least 10 characters; this has 5/).isVisible()).toBe(true);
    await page.getByRole('textbox', { name: 'Passphrase of the department' }).fill('four quiet brown otters');
    await page.getByRole('textbox', { name: 'The same again' }).fill('four quiet brown otter');
    await page.getByRole('button', { name: 'Next' }).click();
    await expect.poll(() => page.getByText('The two do not match.').isVisible()).toBe(true);
    await page.getByRole('textbox', { name: 'The same again' }).fill('four quiet brown otters');
    await page.getByRole('button', { name: 'Next' }).click();

    const names = ['Registry of Chemistry', 'Dr Nadia Sorrel', 'Piers Calloway'];
    for (const [i, name] of names.entries()) {
      const person = page.getByRole('group', { name: `Person ${i + 1}` });
      await person.getByLabel('Printed name').fill(name);
      await person.getByRole('textbox', { name: 'Passphrase' }).fill(`a passphrase of number ${i + 1}`);
    }
    expect(await page.getByRole('group', { name: 'Person 2' }).getByLabel('Initials').inputValue()).toBe(
      'NS',
    );
    await page.getByRole('button', { name: 'Begin the notebook' }).click();
    await page.getByRole('heading', { name: 'Whose record?' }).waitFor({ timeout: 60_000 });
    for (const name of names) expect(await page.getByRole('button', { name }).isVisible()).toBe(true);
    // No passphrase is shown outside the demo.
    await page.getByRole('button', { name: 'Piers Calloway' }).click();
    expect(await page.getByText('Demo passphrase').count()).toBe(0);
    expect(faults).toEqual([]);
  });
});

describe('signing in', () => {
  let desk: DemoDesk;
  beforeAll(async () => {
    desk = await startDemoDesk();
    const { page, context } = await desk.open();
    await makeDemo(page);
    await context.close();
  });
  afterAll(async () => desk.stop());

  it('says that a passphrase is wrong, makes one wait after three, and notes each in the trail', async () => {
    const { page, context } = await desk.open();
    const { people } = await askFrom(page, 'setup.state', {});
    const student = people.find((person) => person.role === 'student')!;
    await page.getByRole('button', { name: student.printedName }).click();
    const field = page.getByRole('textbox', { name: 'Passphrase' });
    for (let i = 0; i < 3; i += 1) {
      await field.fill(`not the passphrase ${i}`);
      await page.getByRole('button', { name: 'Open', exact: true }).click();
      await page.getByRole('alert').filter({ hasText: 'not the passphrase' }).waitFor({ state: 'attached' });
      await expect.poll(() => field.isEnabled(), { timeout: 10_000 }).toBe(true);
    }
    // The third failure is the first that costs time: a further try at once is turned away.
    await field.fill('not the passphrase 4');
    await page.getByRole('button', { name: 'Open', exact: true }).click();
    await expect.poll(() => page.getByRole('timer').isVisible()).toBe(true);
    expect(await field.isDisabled()).toBe(true);
    await expect.poll(() => field.isEnabled(), { timeout: 20_000 }).toBe(true);

    await field.fill((await askFrom(page, 'setup.state', {})).demoPassphrase ?? '');
    await page.getByRole('button', { name: 'Open', exact: true }).click();
    await page.getByRole('navigation', { name: 'Places' }).waitFor();
    const trail = await askFrom(page, 'trail.list', {
      entryId: null,
      action: 'session.refused',
      text: null,
      before: null,
      limit: 20,
    });
    expect(trail.lines.length).toBeGreaterThanOrEqual(3);
    await context.close();
  });

  it('covers the page when it locks, and gives it back to the same person with what was typed', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    const { records } = await askFrom(page, 'record.list', {});
    await page.evaluate((id) => (location.hash = `#/record/${id}/new`), records[0]!.id);
    await page.getByRole('radio', { name: /An empty entry/ }).check();
    await page.getByRole('textbox', { name: 'Title' }).fill('Half-typed title');
    await page.getByRole('button', { name: /student/ }).click();
    await page.getByRole('menuitem', { name: /^Lock/ }).click();

    await page.getByText('The page is locked').waitFor();
    expect(await page.getByRole('navigation', { name: 'Places' }).count()).toBe(0);
    expect(await page.getByText('New entry').first().isVisible()).toBe(false);
    // The session is closed on the other side too, not only covered on this one.
    await expect(askFrom(page, 'record.list', {})).rejects.toThrow('not-signed-in');

    const { demoPassphrase } = await askFrom(page, 'setup.state', {});
    await page.getByRole('textbox', { name: 'Passphrase' }).fill(demoPassphrase ?? '');
    await page.getByRole('button', { name: 'Go on' }).click();
    await page.getByRole('navigation', { name: 'Places' }).waitFor();
    expect(await page.getByRole('textbox', { name: 'Title' }).inputValue()).toBe('Half-typed title');
    await context.close();
  });

  it('warns, then locks by itself, when nobody has touched anything for the idle time', async () => {
    const { page, context } = await desk.open();
    await page.clock.install();
    await signIn(page, 'student');
    const { session } = await askFrom(page, 'session.current', {});
    const idleMs = session!.idleMinutes * 60_000;
    await page.clock.fastForward(idleMs - 40_000);
    await page.clock.runFor(4_000);
    await page.getByText(/The page locks in/).waitFor();
    // A sign of life puts it off.
    await page.mouse.move(300, 300);
    await page.clock.runFor(4_000);
    await expect.poll(() => page.getByText(/The page locks in/).count()).toBe(0);
    await page.clock.fastForward(idleMs + 5_000);
    await page.clock.runFor(4_000);
    await page.getByText('The page is locked').waitFor();
    await expect(askFrom(page, 'record.list', {})).rejects.toThrow('not-signed-in');
    await context.close();
  });

  it('starts another person at their own first page', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    await page.evaluate(() => (location.hash = '#/check'));
    await page.getByRole('heading', { name: 'Check' }).waitFor();
    await page.getByRole('button', { name: /student/ }).click();
    await page.getByRole('menuitem', { name: 'Sign out' }).click();
    await page.getByRole('heading', { name: 'Whose record?' }).waitFor();
    await signIn(page, 'instructor');
    await page.getByRole('heading', { name: 'Tray', level: 1 }).waitFor();
    await context.close();
  });
});
