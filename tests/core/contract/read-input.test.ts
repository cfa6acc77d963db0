import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { limits } from '../../../core/contract/parts.ts';
import { readInput } from '../../../core/contract/read-input.ts';
import { requests } from '../../../core/contract/requests.ts';
import { units } from '../../../core/quantity/unit.ts';
import { templates } from '../../../core/templates/index.ts';
import { contentFromTemplate } from '../../../core/templates/content-from-template.ts';
import { sampleContent } from '../record/sample-content.ts';

const save = requests['draft.save'].input;
const draft = (changes: object = {}): unknown =>
  JSON.parse(
    JSON.stringify({ entryId: 'e', revision: 1, content: { ...sampleContent(), ...changes } }),
  ) as unknown;
/** `where reason` of the first fault, or `ok`. */
const fault = (raw: unknown): string => {
  const read = readInput<unknown>(save, raw);
  return read.ok ? 'ok' : `${read.error.where} ${read.error.reason}`;
};

describe('readInput', () => {
  it('takes a draft as it is, to the letter', () => {
    const raw = draft();
    expect(readInput<unknown>(save, raw)).toEqual({ ok: true, value: raw });
  });

  it.each(templates.map((template) => [template.id, template] as const))(
    'takes what the template %s gives',
    (_, template) => {
      let id = 0;
      const content = contentFromTemplate(template, { date: '2027-03-09', newId: () => `id-${++id}` });
      expect(fault({ entryId: 'e', revision: 1, content })).toBe('ok');
    },
  );

  it('takes the size of counted drops, and nothing else beside it', () => {
    const drop = {
      drops: { text: '20', unit: 'drops' },
      make: { text: '1.0', unit: 'mL' },
      uncertainty: null,
      countUncertainty: null,
    };
    const rowsWith = (size: object): object => {
      const [first, ...others] = sampleContent().rows;
      const taken = { by: 'volume', entered: { text: '5', unit: 'drops' }, instrument: null, drop: size };
      return { rows: [{ ...first, taken }, ...others] };
    };
    expect(fault(draft(rowsWith(drop)))).toBe('ok');
    expect(fault(draft(rowsWith({ ...drop, colour: 'red' })))).toMatch(/colour unknown-field$/);
  });

  it.each<[string, object, string]>([
    ['a date that the calendar has not', { date: '2027-02-30' }, 'content.date is no day of the calendar'],
    ['a date written otherwise', { date: '9.3.2027' }, 'content.date wrong-kind'],
    ['a field that is not known', { surprise: 1 }, 'content.surprise unknown-field'],
    ['a number where text belongs', { aim: 7 }, 'content.aim wrong-kind'],
    ['a lone surrogate', { aim: 'half \ud83d' }, 'content.aim lone-surrogate'],
    ['a zero character', { aim: 'a\u0000b' }, 'content.aim zero-character'],
    ['a text of more than a megabyte', { aim: 'x'.repeat(limits.longText + 1) }, 'content.aim too-long'],
    [
      'two rows with one id',
      { rows: [...sampleContent().rows, ...sampleContent().rows] },
      'content.rows holds two things with the same id',
    ],
    [
      'an unknown unit',
      { expectedYield: { text: '80', unit: 'cups' } },
      'content.expectedYield.unit wrong-kind',
    ],
    [
      'too many rows',
      {
        rows: Array.from({ length: limits.rows + 1 }, (_, n) => ({
          ...sampleContent().rows[0],
          id: `r${n}`,
        })),
      },
      'content.rows too-long',
    ],
  ])('names the place of %s', (_, changes, expected) => {
    expect(fault(draft(changes))).toBe(expected);
  });

  it('names a field that is missing', () => {
    const raw = draft() as { content: Record<string, unknown> };
    delete raw.content['aim'];
    expect(fault(raw)).toBe('content.aim field-missing');
  });

  it.each(['__proto__', 'constructor', 'toString', 'hasOwnProperty'])(
    'refuses a field called %s, wherever it stands',
    (name) => {
      const top = JSON.parse(`{"entryId":"e","revision":1,"${name}":{"x":1}}`) as unknown;
      expect(readInput(save, top)).toMatchObject({ ok: false, error: { reason: 'unknown-field' } });
      const raw = draft() as { content: { result: object } };
      raw.content.result = JSON.parse(
        JSON.stringify(raw.content.result).replace('{', `{"${name}":1,`),
      ) as object;
      expect(fault(raw)).toBe(`content.result.${name} unknown-field`);
      expect(({} as { x?: number }).x).toBeUndefined();
    },
  );

  it('stops at a depth, not at the end of the stack', () => {
    let deep: unknown = 'x';
    for (let n = 0; n < 100_000; n++) deep = [deep];
    expect(fault({ entryId: 'e', revision: 1, content: deep })).toMatch(/too-deep$/);
  });

  it('never repeats a passphrase', () => {
    const secret = 'do not print me';
    const raw = { personId: 'p', passphrase: { secret } };
    expect(JSON.stringify(readInput(requests['session.open'].input, raw))).not.toContain(secret);
  });

  it('keeps emoji, right-to-left text, combining marks and 100 kB pasted at once', () => {
    const text = `😀 مرحبا \u202eabc\u202c e\u0301 ${'x'.repeat(100_000)}`;
    const read = readInput(save, draft({ discussion: text }));
    expect(read.ok && read.value.content.discussion).toBe(text);
  });

  it('leaves what is typed into a number to the engine: nonsense is a draft’s right', () => {
    for (const text of ['4,5', '−3', '1e999', 'NaN', '', '４', '5 g']) {
      expect(fault(draft({ expectedYield: { text, unit: '%' } })), text).toBe('ok');
    }
    for (const unit of Object.keys(units))
      expect(fault(draft({ expectedYield: { text: '1', unit } }))).toBe('ok');
  });
});

describe('every request', () => {
  const names = Object.keys(requests) as (keyof typeof requests)[];
  it.each(names)('%s refuses what is no object, and unknown keys', (name) => {
    const schema = requests[name].input as v.GenericSchema<unknown, unknown>;
    for (const raw of [null, undefined, 1, 'text', [], true, { 'un known': 1 }]) {
      expect(readInput(schema, raw).ok, JSON.stringify(raw)).toBe(false);
    }
  });
  it('is named noun.verb', () => {
    for (const name of names) expect(name).toMatch(/^[a-z-]+\.[a-z-]+$/);
  });
});
