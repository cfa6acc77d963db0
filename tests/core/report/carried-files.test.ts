import { describe, expect, it } from 'vitest';
import type { AttachmentNote } from '../../../core/record/content.ts';
import { planCarried } from '../../../core/report/carried-files.ts';
import { sampleBundle } from './sample-bundle.ts';

const note = (sha256: string, name: string, sizeBytes: number): AttachmentNote => ({
  sha256: sha256.repeat(64),
  name,
  mediaType: 'text/plain',
  sizeBytes,
  section: 'result',
  caption: '',
});
const entry = (number: number, now: readonly AttachmentNote[], before: readonly AttachmentNote[] = []) => {
  const bundle = sampleBundle();
  const [version] = bundle.versions;
  if (version === undefined) throw new Error('the sample is signed');
  return {
    entry: { number },
    shown: { n: 2, content: { ...bundle.shown.content, attachments: now } },
    versions: [{ ...version, content: { ...bundle.shown.content, attachments: before } }],
  };
};
const names = (files: ReturnType<typeof planCarried>): readonly string[] => files.map((file) => file.name);

describe('planCarried', () => {
  it('takes each file of every version once, entry by entry', () => {
    const shared = note('a', 'ir.jdx', 10);
    const files = planCarried(
      [entry(1, [shared, note('b', 'nmr.txt', 10)], [shared, note('c', 'old.txt', 10)]), entry(12, [shared])],
      () => true,
    );
    expect(names(files)).toEqual(['001-ir.jdx', '001-nmr.txt', '001-old.txt']);
  });

  it('stays under its limit, and still takes what is smaller afterwards', () => {
    const list = [note('a', 'a.txt', 60), note('b', 'b.txt', 60), note('c', 'c.txt', 40)];
    expect(names(planCarried([entry(1, list)], () => true, 100))).toEqual(['001-a.txt', '001-c.txt']);
    expect(names(planCarried([entry(1, list)], () => true, 0))).toEqual([]);
  });

  it('leaves out what must not be carried', () => {
    const list = [note('a', 'a.txt', 1), note('b', 'b.txt', 1)];
    expect(names(planCarried([entry(1, list)], ({ name }) => name !== 'a.txt'))).toEqual(['001-b.txt']);
  });

  it('gives names that are plain, and no two alike', () => {
    const list = [note('a', 'é/../x (1).txt', 1), note('b', 'é/../x (1).txt', 1), note('c', '‮gpj.exe', 1)];
    expect(names(planCarried([entry(3, list)], () => true))).toEqual([
      '003-e_.._x_1_.txt',
      'bbbbbbbb-003-e_.._x_1_.txt',
      '003-_gpj.exe',
    ]);
  });
});
