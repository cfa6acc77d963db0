import { describe, expect, it } from 'vitest';
import type { SealView } from '../../core/contract/views.ts';
import { whyNoSeal } from '../../renderer/features/bind/file-words.ts';

const seal = (standing: SealView['standing']): SealView => ({
  serial: 1,
  name: 'Department of Chemistry, Wexcombe College',
  sha256: 'ab'.repeat(32),
  notBefore: '2027-01-01T00:00:00.000Z',
  notAfter: '2032-01-01T00:00:00.000Z',
  retiredAt: null,
  standing,
  pem: '',
});

describe('before the passphrase for a seal is asked for', () => {
  it('nothing is said where a seal is in use, also one that ends soon or follows a retired one', () => {
    expect(whyNoSeal([seal('in-use'), seal('retired')])).toBe('');
    expect(whyNoSeal([seal('ends-soon')])).toBe('');
  });
  it('says why there is none, what to do, and what becomes of the PDF', () => {
    const said = [whyNoSeal([]), whyNoSeal([seal('retired')]), whyNoSeal([seal('ended'), seal('retired')])];
    expect(new Set(said).size).toBe(3);
    for (const one of said)
      expect(one).toMatch(/seal .*Make (one|a new one) under People\. Until then .* without one\.$/);
  });
});
