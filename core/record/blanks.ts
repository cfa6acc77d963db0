import type { EntryContent } from './content.ts';

const isBlank = (text: string): boolean => text.trim() === '';
const count = (n: number, one: string, many: string): string => (n === 1 ? `One ${one}` : `${n} ${many}`);

/** What an entry does not say, as sentences for the signer. Nothing here forbids signing. */
export function blanksIn(content: EntryContent): readonly string[] {
  const list: string[] = [];
  const say = (when: boolean, sentence: string): void => {
    if (when) list.push(sentence);
  };
  const headings: readonly (readonly [string, string])[] = [
    ['title', content.title],
    ['aim', content.aim],
    ['principle', content.principle],
    ['discussion', content.discussion],
  ];
  const empty = headings.filter(([, text]) => isBlank(text)).map(([name]) => name);
  say(empty.length > 0, `Left blank: ${empty.join(', ')}.`);

  const measured = content.rows.filter((row) => row.planned !== null && row.role !== 'product');
  const notTaken = measured.filter((row) => row.taken === null);
  say(
    notTaken.length > 0,
    `No amount taken is noted for ${notTaken.map((row) => row.name.trim() || 'an unnamed row').join(', ')}.`,
  );

  const records = new Map(content.stepRecords.map((record) => [record.stepId, record]));
  const notDone = content.steps.filter((step) => (records.get(step.id)?.done ?? null) === null).length;
  say(notDone > 0, `${count(notDone, 'step is', 'steps are')} not ticked as done.`);

  const { crude, pure, meltingRange, boilingRange } = content.result;
  say(crude.mass === null && pure.mass === null, 'No mass of product is noted.');
  say(crude.mass !== null && pure.mass === null, 'The mass of the pure product is not noted.');
  const isSolidExpected = content.literature.meltingRange !== null;
  const isLiquidExpected = content.literature.boilingPoint !== null && !isSolidExpected;
  say(
    isSolidExpected && meltingRange.from === null && meltingRange.to === null,
    'No melting range is noted.',
  );
  say(
    isLiquidExpected && boilingRange.from === null && boilingRange.to === null,
    'No boiling range is noted.',
  );
  return list;
}
