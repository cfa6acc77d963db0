import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { renderPdf } from '../../../electron/export/render-pdf.ts';
import { createSealKey } from '../../../electron/export/seal-certificate.ts';
import { checkOf, detached, inspect, withPdf } from './read-pdf.ts';
import { sampleReport } from './sample-report.ts';

const pdfsig = (bytes: Uint8Array): string =>
  withPdf(bytes, (path) => {
    try {
      return execFileSync('pdfsig', ['-nocert', path], { encoding: 'utf8' });
    } catch (error) {
      // pdfsig ends with a code of its own when it finds a fault; what it says is what counts.
      return (error as { stdout: string }).stdout;
    }
  });

describe('a sealed PDF', async () => {
  const key = await createSealKey({
    institution: 'Ashgrove College',
    department: 'Department of Chemistry',
    serial: 1,
    notBefore: new Date('2026-09-01T00:00:00Z'),
    notAfter: new Date('2036-09-01T00:00:00Z'),
  });
  const seal = {
    key,
    name: 'Department of Chemistry, Ashgrove College',
    reason: 'Bound by the department',
    at: new Date('2027-06-30T10:00:00Z'),
  };
  const bytes = await renderPdf(sampleReport(), { seal });

  it('is valid and covers the whole file, says poppler', () => {
    const told = pdfsig(bytes);
    expect(told).toContain('Signature is Valid.');
    expect(told).toContain('Total document signed');
    expect(told).toContain('ETSI.CAdES.detached');
    expect(told).toContain('Department of Chemistry, Ashgrove College');
    expect(told).toContain('SHA-256');
    expect(told).toMatch(/Distinguished Name: .*OU=Department of Chemistry,O=Ashgrove College/);
  });

  it('is found broken after any change, and not covering what was put behind it', () => {
    for (const at of [200, Math.floor(bytes.length / 2), bytes.length - 60]) {
      const changed = Buffer.from(bytes);
      changed[at] = (changed[at] ?? 0) ^ 1;
      expect(pdfsig(changed), `byte ${at}`).not.toContain('Signature is Valid.');
    }
    // Poppler calls the signature itself valid still: both lines have to be looked at.
    const longer = Buffer.concat([bytes, Buffer.from('\n% one line more\n')]);
    expect(pdfsig(longer)).toContain('Not total document signed');
  });

  it('stays sound, PDF/A in its declarations, and gives its embedded file back', () => {
    expect(checkOf(bytes)).toContain('No syntax or stream encoding errors found');
    const seen = inspect(bytes);
    expect(seen.xmp).toMatchObject({ part: '3', conformance: 'B' });
    expect(seen.missingGlyphs).toBe(0);
    for (const { flags } of seen.annotations) expect(flags & 0b100111).toBe(0b100);
    expect(detached(bytes, 'entry.json').toString('utf8')).toBe(sampleReport().embedded[0]?.text);
  });

  it('verifies outside, with openssl, against the certificate and the bytes it names', () => {
    const text = Buffer.from(bytes).toString('latin1');
    const [, from = 0, to = 0, rest = 0] = /ByteRange \[0 (\d+) (\d+) (\d+)\]/.exec(text)?.map(Number) ?? [];
    expect(to + rest).toBe(bytes.length);
    const hex = text.slice(from + 1, to - 1);
    const der = Buffer.from(hex, 'hex');
    // A DER sequence says its own length; behind it the room is zeros.
    const length = 4 + der.readUInt16BE(2);
    expect(der.subarray(length).every((byte) => byte === 0)).toBe(true);
    withPdf(bytes, (_path, folder) => {
      const file = (name: string, content: Uint8Array): string => {
        writeFileSync(join(folder, name), content);
        return join(folder, name);
      };
      const signature = file('seal.der', der.subarray(0, length));
      const data = file('data', Buffer.concat([bytes.slice(0, from), bytes.slice(to)]));
      const certificate = file(
        'certificate.pem',
        Buffer.from(
          `-----BEGIN CERTIFICATE-----\n${Buffer.from(key.anchor).toString('base64').replace(/.{64}/g, '$&\n')}\n-----END CERTIFICATE-----\n`,
        ),
      );
      const verify = (...args: string[]): string =>
        execFileSync(
          'openssl',
          [
            'cms',
            '-verify',
            '-cades',
            '-binary',
            '-inform',
            'DER',
            '-in',
            signature,
            '-content',
            data,
            '-CAfile',
            certificate,
            '-certfile',
            certificate,
            '-purpose',
            'any',
            '-out',
            '/dev/null',
            ...args,
          ],
          { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] },
        );
      expect(() => verify()).not.toThrow();
      writeFileSync(data, Buffer.concat([bytes.slice(0, from), bytes.slice(to), Buffer.from('x')]));
      expect(() => verify()).toThrow();
    });
  });

  it('cannot be misled by a title that looks like its room', async () => {
    const title = '/ByteRange [0 /********** /********** /**********] /Contents <00000000>';
    const misled = await renderPdf(sampleReport({ title, keywords: title }), { seal });
    expect(pdfsig(misled)).toContain('Signature is Valid.');
    expect(pdfsig(misled)).toContain('Total document signed');
  });

  it('leaves an unsealed print as it was: the same bytes every time', async () => {
    const [first, second] = [await renderPdf(sampleReport()), await renderPdf(sampleReport())];
    expect(Buffer.compare(Buffer.from(first), Buffer.from(second))).toBe(0);
    expect(Buffer.from(first).includes('/ByteRange')).toBe(false);
  });
});

describe('the certificate of a seal', () => {
  it('says its years as RFC 5280 wants them on both sides of 2050', async () => {
    const key = await createSealKey({
      institution: 'Ashgrove College',
      department: 'Department of Chemistry',
      serial: 7,
      notBefore: new Date('2049-12-31T23:00:00Z'),
      notAfter: new Date('2069-12-31T23:00:00Z'),
    });
    const told = execFileSync('openssl', ['x509', '-inform', 'DER', '-noout', '-dates', '-serial'], {
      input: key.certificate,
      encoding: 'utf8',
    });
    expect(told).toContain('notBefore=Dec 31 23:00:00 2049 GMT');
    expect(told).toContain('notAfter=Dec 31 23:00:00 2069 GMT');
    expect(Number.parseInt(/serial=(..)/.exec(told)?.[1] ?? '', 16)).toBe(1);
  });
});
