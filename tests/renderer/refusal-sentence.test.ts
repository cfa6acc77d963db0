import { describe, expect, it } from 'vitest';
import { requests } from '../../core/contract/requests.ts';
import { refusalSentence } from '../../renderer/client/refusal-sentence.ts';

describe('refusalSentence', () => {
  const codes = [...new Set(Object.values(requests).flatMap((request): readonly string[] => request.codes))];

  it.each(codes)('has words of its own for “%s”', (code) => {
    const sentence = refusalSentence({ code, where: '', facts: {} });
    expect(sentence).not.toContain(code);
    expect(sentence).toMatch(/^[A-Z“].*\.$/);
    expect(sentence).not.toMatch(/undefined|NaN|null/);
  });

  it('names the seconds to wait, never too few, with a thin space before the unit', () => {
    const refusal = { code: 'wait-before-retry', where: 'passphrase', facts: { seconds: 12.2 } };
    expect(refusalSentence(refusal)).toContain('13\u2009s');
    expect(refusalSentence({ ...refusal, facts: { seconds: 300 } })).toContain('5\u2009min');
  });

  it('says why the notebook file cannot be written', () => {
    const refusal = { code: 'storage-failed', where: '', facts: { reason: 'disk-full' } };
    expect(refusalSentence(refusal)).toMatch(/disk is full/);
    expect(refusalSentence({ ...refusal, facts: {} })).toMatch(/could not be written/);
  });

  it('admits a code it does not know', () => {
    expect(refusalSentence({ code: 'brand-new', where: '', facts: {} })).toContain('brand-new');
  });
});
