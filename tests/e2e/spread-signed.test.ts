import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { askFrom, goTo, makeDemo, signIn, startDemoDesk, type DemoDesk } from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let entryId = '';
/** A preparation carried out, so that there is something to sign and to comment on. */
function done(): EntryContent {
  let id = 0;
  const template = templates.find((one) => one.id === 'acetylsalicylic-acid')!;
  const content = contentFromTemplate(template, { date: '2026-03-12', newId: () => `id-${++id}` });
  return {
    ...content,
    rows: content.rows.map((row) => ({ ...row, taken: row.planned })),
    result: { ...content.result, pure: { mass: { text: '2.00', unit: 'g' }, instrument: 'balance-0.01' } },
    discussion: 'The wash took some of it.',
  };
}
beforeAll(async () => {
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  await makeDemo(page);
  await signIn(page, 'student');
  const { records } = await askFrom(page, 'record.list', {});
  entryId = (await askFrom(page, 'entry.begin', { recordId: records[0]!.id, content: done() })).id;
  await context.close();
});
afterAll(async () => desk.stop());

const passphrase = async (page: Page): Promise<string> =>
  (await askFrom(page, 'setup.state', {})).demoPassphrase ?? '';

describe('an entry handed in', () => {
  it('is signed with what was typed a moment before, and locks on the page', async () => {
    const { page, context, faults } = await desk.open();
    await signIn(page, 'student');
    await goTo(page, `#/entry/${entryId}`);
    await page.getByRole('textbox', { name: 'discussion' }).fill('Typed just before signing.');
    await page.getByRole('button', { name: 'Sign and hand in …' }).click();
    await page.getByRole('button', { name: 'I have read this: go on' }).click();
    await page.getByRole('textbox', { name: /passphrase/i }).fill(await passphrase(page));
    await page.getByRole('button', { name: /^Sign/ }).last().click();
    await page.getByText('Handed in').first().waitFor();
    expect(await page.getByRole('textbox').count()).toBe(0);
    const { content, versions } = await askFrom(page, 'entry.open', { entryId });
    expect(content.discussion).toBe('Typed just before signing.');
    expect(versions).toHaveLength(1);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('takes the instructor’s comment at a step, in the margin, and goes back with it', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'instructor');
    await goTo(page, `#/entry/${entryId}`);
    await page.getByRole('button', { name: 'Comment on step 2' }).last().click();
    await page.getByRole('textbox', { name: 'Your comment on step 2' }).fill('How warm was the bath?');
    await page.getByRole('button', { name: 'Write it in the margin' }).click();
    await page.getByRole('button', { name: /^Comment by .* on step 2, 1 open/ }).waitFor();
    const { comments, content } = await askFrom(page, 'entry.open', { entryId });
    expect(comments.map((one) => [one.section, one.anchor, one.text])).toEqual([
      ['observations', content.steps[1]!.id, 'How warm was the bath?'],
    ]);
    const { versions } = await askFrom(page, 'entry.open', { entryId });
    await askFrom(page, 'entry.return', {
      entryId,
      versionHash: versions.at(-1)!.hash,
      remark: 'See step 2.',
      passphrase: await passphrase(page),
    });
    await context.close();
  });

  it('says at the top why it came back and leads to the comment, which the student settles', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    await goTo(page, `#/entry/${entryId}`);
    const slip = page.getByRole('region', { name: /^.?\s?Returned by/ });
    await slip.getByText('See step 2.').waitFor();
    expect((await slip.boundingBox())!.y).toBeLessThan(200);
    await slip.getByRole('button', { name: 'Observations, step 2' }).click();
    await page.locator('.slip:focus', { hasText: 'How warm was the bath?' }).waitFor();
    expect(
      await page.locator('.slip:focus').evaluate((one) => one.getBoundingClientRect().bottom),
    ).toBeLessThan(900);
    await page.getByRole('button', { name: /^Settled/ }).click();
    await page.getByRole('button', { name: /on step 2, settled/ }).waitFor();
    await expect
      .poll(async () => (await askFrom(page, 'entry.open', { entryId })).comments[0]?.isSettled)
      .toBe(true);
    await context.close();
  });

  it('shows the values as they were signed, also where today’s program would say otherwise', async () => {
    const { page, context } = await desk.open();
    await signIn(page, 'student');
    const { revision } = await askFrom(page, 'entry.open', { entryId });
    const { versionHash } = await askFrom(page, 'signing.read', { entryId, meaning: 'performed' });
    await askFrom(page, 'entry.sign', { entryId, revision, versionHash, passphrase: await passphrase(page) });
    await goTo(page, `#/entry/${entryId}`);
    await page
      .getByRole('button', { name: /^pure yield: / })
      .first()
      .waitFor();
    expect(await page.getByText('This page shows the values as they were signed').count()).toBe(0);

    // A version signed with an older engine, as the service would hand it over.
    await page.addInitScript(() => {
      const fetchAsIs = window.fetch.bind(window);
      window.fetch = async (input, init) => {
        const reply = await fetchAsIs(input, init);
        const asked = input instanceof Request ? input.url : input.toString();
        if (!asked.endsWith('/ask/version.read')) return reply;
        const text = await reply.text();
        const body = JSON.parse(text) as { value: { computed: { lines: { id: string; value: string }[] } } };
        for (const line of body.value.computed.lines)
          if (line.id === 'pure-yield') line.value = '12.34 ± 0.05';
        return new Response(JSON.stringify(body), { headers: { 'content-type': 'application/json' } });
      };
    });
    await page.reload();
    await page.getByText(/shows the values as they were signed.*one of them otherwise/).waitFor();
    await page
      .getByRole('button', { name: /^pure yield: / })
      .first()
      .click();
    const panel = page.getByRole('dialog', { name: /^Working: Pure yield/ });
    await panel.getByText(/^As signed/).waitFor();
    expect(await page.locator('main').innerText()).toContain('(12.34 ± 0.05)');
    await context.close();
  });
});
