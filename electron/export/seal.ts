import * as asn1js from 'asn1js';
import * as pkijs from 'pkijs';
import { sealCurve, sealEngine, sealHash, signSeal } from './seal-cms.ts';
import { rangePlaceholder, sealRoom } from './seal-room.ts';

/** What the department seals bound PDFs with. Beside the record's own Ed25519 key: PDF readers know ECDSA. */
export interface SealKey {
  /** X.509, DER. */
  readonly certificate: Uint8Array;
  /** PKCS #8, DER. Kept sealed like every other key. */
  readonly privateKey: Uint8Array;
}

const oid = {
  organisation: '2.5.4.10',
  organisationalUnit: '2.5.4.11',
  commonName: '2.5.4.3',
  basicConstraints: '2.5.29.19',
  keyUsage: '2.5.29.15',
} as const;

/** Bit 0 digitalSignature, bit 1 nonRepudiation. */
const signing = new Uint8Array([0b1100_0000]);

/** A distinguished name, one attribute to a part (pkijs would put all into one part). */
function nameOf(
  attributes: readonly (readonly [type: string, value: string])[],
): pkijs.RelativeDistinguishedNames {
  const parts = attributes.map(
    ([type, value]) =>
      new asn1js.Set({
        value: [
          new asn1js.Sequence({
            value: [new asn1js.ObjectIdentifier({ value: type }), new asn1js.Utf8String({ value })],
          }),
        ],
      }),
  );
  return pkijs.RelativeDistinguishedNames.fromBER(new asn1js.Sequence({ value: parts }).toBER());
}

/**
 * Makes the department's sealing key with a certificate that it signs itself: readers call the seal
 * intact at once, and trusted once the certificate is imported.
 *
 * @param serial positive; a department that makes a new key counts on
 */
export async function createSealKey(of: {
  readonly institution: string;
  readonly department: string;
  readonly serial: number;
  readonly notBefore: Date;
  readonly notAfter: Date;
}): Promise<SealKey> {
  const keys = await crypto.subtle.generateKey(sealCurve, true, ['sign', 'verify']);
  const certificate = new pkijs.Certificate();
  certificate.version = 2;
  certificate.serialNumber = new asn1js.Integer({ value: of.serial });
  const name = nameOf([
    [oid.organisation, of.institution],
    [oid.organisationalUnit, of.department],
    [oid.commonName, `${of.department}, ${of.institution}`],
  ]);
  certificate.issuer = name;
  certificate.subject = name;
  certificate.notBefore.value = of.notBefore;
  certificate.notAfter.value = of.notAfter;
  certificate.extensions = [
    new pkijs.Extension({
      extnID: oid.basicConstraints,
      critical: true,
      extnValue: new pkijs.BasicConstraints({ cA: false }).toSchema().toBER(),
    }),
    new pkijs.Extension({
      extnID: oid.keyUsage,
      critical: true,
      extnValue: new asn1js.BitString({ valueHex: signing.buffer, unusedBits: 6 }).toBER(),
    }),
  ];
  await certificate.subjectPublicKeyInfo.importKey(keys.publicKey, sealEngine);
  await certificate.sign(keys.privateKey, sealHash, sealEngine);
  return {
    certificate: new Uint8Array(certificate.toSchema(true).toBER()),
    privateKey: new Uint8Array(await crypto.subtle.exportKey('pkcs8', keys.privateKey)),
  };
}

/**
 * Seals a PDF that was written with room for it (`PdfDocument.reserveSeal`): fills in which bytes are
 * covered (all but the signature itself) and the signature over them.
 *
 * @param mark the bytes that hold the room, so that no text in the file can be taken for it
 * @throws Error when the file has no such room
 */
export async function fillSeal(pdf: Uint8Array, mark: Uint8Array, key: SealKey): Promise<Uint8Array> {
  const out = Buffer.from(pdf);
  const held = `<${Buffer.from(mark).toString('hex')}>`;
  const from = out.indexOf(held, 0, 'latin1');
  const range = `[0 /${rangePlaceholder} /${rangePlaceholder} /${rangePlaceholder}]`;
  const rangeAt = out.lastIndexOf(range, from, 'latin1');
  if (from < 0 || rangeAt < 0) throw new Error('the file has no room for a seal');
  const to = from + held.length;
  const covered = `[0 ${from} ${to} ${out.length - to}]`.padEnd(range.length, ' ');
  out.write(covered, rangeAt, 'latin1');
  const signature = await signSeal(
    Buffer.concat([out.subarray(0, from), out.subarray(to)]),
    key.certificate,
    key.privateKey,
  );
  if (signature.length > sealRoom) throw new Error('the signature is larger than its room');
  out.write(
    Buffer.from(signature)
      .toString('hex')
      .padEnd(sealRoom * 2, '0'),
    from + 1,
    'latin1',
  );
  return new Uint8Array(out);
}
