import * as asn1js from 'asn1js';
import * as pkijs from 'pkijs';
import { rangePlaceholder, sealRoom } from './seal-room.ts';

/** What the department seals bound PDFs with. Beside the record's own Ed25519 key: PDF readers know ECDSA. */
export interface SealKey {
  /** X.509, DER. */
  readonly certificate: Uint8Array;
  /** PKCS #8, DER. Kept sealed like every other key. */
  readonly privateKey: Uint8Array;
}

const curve = { name: 'ECDSA', namedCurve: 'P-256' } as const;
const hash = 'SHA-256';
const engine = new pkijs.CryptoEngine({ name: 'node', crypto: crypto });

const oid = {
  organisation: '2.5.4.10',
  organisationalUnit: '2.5.4.11',
  commonName: '2.5.4.3',
  basicConstraints: '2.5.29.19',
  keyUsage: '2.5.29.15',
  data: '1.2.840.113549.1.7.1',
  signedData: '1.2.840.113549.1.7.2',
  contentType: '1.2.840.113549.1.9.3',
  messageDigest: '1.2.840.113549.1.9.4',
  signingCertificateV2: '1.2.840.113549.1.9.16.2.47',
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
  const keys = await crypto.subtle.generateKey(curve, true, ['sign', 'verify']);
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
  await certificate.subjectPublicKeyInfo.importKey(keys.publicKey, engine);
  await certificate.sign(keys.privateKey, hash, engine);
  return {
    certificate: new Uint8Array(certificate.toSchema(true).toBER()),
    privateKey: new Uint8Array(await crypto.subtle.exportKey('pkcs8', keys.privateKey)),
  };
}

/**
 * A detached CMS signature as PAdES wants it: content type, digest and the certificate's own digest are
 * signed; the time stands in the PDF's signature dictionary.
 *
 * @source RFC 5652; RFC 5035 (signing-certificate-v2); ETSI EN 319 142-1, 6.3
 */
async function signatureOf(data: Uint8Array, key: SealKey): Promise<Uint8Array> {
  const certificate = pkijs.Certificate.fromBER(key.certificate.slice().buffer);
  const privateKey = await crypto.subtle.importKey('pkcs8', key.privateKey.slice(), curve, false, ['sign']);
  const digest = (bytes: Uint8Array): Promise<ArrayBuffer> => crypto.subtle.digest(hash, bytes.slice());
  const attribute = (type: string, value: asn1js.BaseBlock): pkijs.Attribute =>
    new pkijs.Attribute({ type, values: [value] });
  const certificateDigest = new asn1js.OctetString({ valueHex: await digest(key.certificate) });
  // ESSCertIDv2 with SHA-256, its default, left out.
  const certificateId = new asn1js.Sequence({ value: [certificateDigest] });
  const signed = new pkijs.SignedData({
    version: 1,
    encapContentInfo: new pkijs.EncapsulatedContentInfo({ eContentType: oid.data }),
    signerInfos: [
      new pkijs.SignerInfo({
        version: 1,
        sid: new pkijs.IssuerAndSerialNumber({
          issuer: certificate.issuer,
          serialNumber: certificate.serialNumber,
        }),
        signedAttrs: new pkijs.SignedAndUnsignedAttributes({
          type: 0,
          attributes: [
            attribute(oid.contentType, new asn1js.ObjectIdentifier({ value: oid.data })),
            attribute(oid.messageDigest, new asn1js.OctetString({ valueHex: await digest(data) })),
            attribute(
              oid.signingCertificateV2,
              new asn1js.Sequence({ value: [new asn1js.Sequence({ value: [certificateId] })] }),
            ),
          ],
        }),
      }),
    ],
    certificates: [certificate],
  });
  await signed.sign(privateKey, 0, hash, data.slice().buffer, engine);
  const content = new pkijs.ContentInfo({ contentType: oid.signedData, content: signed.toSchema(true) });
  return new Uint8Array(content.toSchema().toBER());
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
  const signature = await signatureOf(Buffer.concat([out.subarray(0, from), out.subarray(to)]), key);
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
