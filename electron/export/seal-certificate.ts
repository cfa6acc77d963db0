import * as asn1js from 'asn1js';
import * as pkijs from 'pkijs';
import { sealCurve, sealEngine, sealHash } from './seal-cms.ts';

/** What the department seals bound PDFs with. Beside the record's own Ed25519 key: PDF readers know ECDSA. */
export interface SealKey {
  /** X.509, DER: the certificate of the key that seals. */
  readonly certificate: Uint8Array;
  /** X.509, DER: what readers are told to trust. */
  readonly anchor: Uint8Array;
  /** PKCS #8, DER. Kept sealed like every other key. */
  readonly privateKey: Uint8Array;
}

const oid = {
  organisation: '2.5.4.10',
  organisationalUnit: '2.5.4.11',
  commonName: '2.5.4.3',
  basicConstraints: '2.5.29.19',
  keyUsage: '2.5.29.15',
  subjectKeyIdentifier: '2.5.29.14',
  authorityKeyIdentifier: '2.5.29.35',
} as const;

/** Bit 0 digitalSignature, bit 1 nonRepudiation. */
const sealing = { bits: new Uint8Array([0b1100_0000]), unusedBits: 6 };
/** Bit 5 keyCertSign. */
const certifying = { bits: new Uint8Array([0b0000_0100]), unusedBits: 2 };

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

/** UTCTime up to 2049, GeneralizedTime from then on (RFC 5280, 4.1.2.5). */
const timeOf = (value: Date): pkijs.Time =>
  new pkijs.Time({ type: value.getUTCFullYear() < 2050 ? 0 : 1, value });

/** Positive and of fifteen random bytes: certificate stores refuse two of one issuer with one number. */
function serialNumber(): asn1js.Integer {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[0] = 0x01;
  return new asn1js.Integer({ valueHex: bytes.buffer });
}

/** The leftmost 160 bits of the SHA-256 of the key (RFC 7093, 2, method 1). */
async function keyIdentifier(key: CryptoKey): Promise<ArrayBuffer> {
  const raw = await crypto.subtle.exportKey('raw', key);
  return (await crypto.subtle.digest(sealHash, raw)).slice(0, 20);
}

const extension = (extnID: string, critical: boolean, value: asn1js.BaseBlock): pkijs.Extension =>
  new pkijs.Extension({ extnID, critical, extnValue: value.toBER() });

interface About {
  readonly subject: pkijs.RelativeDistinguishedNames;
  readonly publicKey: CryptoKey;
  readonly issuer: pkijs.RelativeDistinguishedNames;
  readonly issuerKey: CryptoKeyPair;
  readonly notBefore: Date;
  readonly notAfter: Date;
  readonly mayCertify: boolean;
}

async function certify(of: About): Promise<Uint8Array> {
  const certificate = new pkijs.Certificate();
  certificate.version = 2;
  certificate.serialNumber = serialNumber();
  certificate.issuer = of.issuer;
  certificate.subject = of.subject;
  certificate.notBefore = timeOf(of.notBefore);
  certificate.notAfter = timeOf(of.notAfter);
  const usage = of.mayCertify ? certifying : sealing;
  const constraints = of.mayCertify ? { cA: true, pathLenConstraint: 0 } : { cA: false };
  certificate.extensions = [
    extension(oid.basicConstraints, true, new pkijs.BasicConstraints(constraints).toSchema()),
    extension(
      oid.keyUsage,
      true,
      new asn1js.BitString({ valueHex: usage.bits.buffer, unusedBits: usage.unusedBits }),
    ),
    extension(
      oid.subjectKeyIdentifier,
      false,
      new asn1js.OctetString({ valueHex: await keyIdentifier(of.publicKey) }),
    ),
    extension(
      oid.authorityKeyIdentifier,
      false,
      new pkijs.AuthorityKeyIdentifier({
        keyIdentifier: new asn1js.OctetString({ valueHex: await keyIdentifier(of.issuerKey.publicKey) }),
      }).toSchema(),
    ),
  ];
  await certificate.subjectPublicKeyInfo.importKey(of.publicKey, sealEngine);
  await certificate.sign(of.issuerKey.privateKey, sealHash, sealEngine);
  return new Uint8Array(certificate.toSchema(true).toBER());
}

/**
 * Makes the department's sealing key with its certificate, and an anchor above it for readers to trust.
 * The key of the anchor is forgotten at once: whoever imports the anchor trusts this one seal, and nobody
 * can certify anything else with it.
 *
 * @param serial which seal of the department this is; it stands in the anchor's name
 */
export async function createSealKey(of: {
  readonly institution: string;
  readonly department: string;
  readonly serial: number;
  readonly notBefore: Date;
  readonly notAfter: Date;
}): Promise<SealKey> {
  const make = (isKept: boolean): Promise<CryptoKeyPair> =>
    crypto.subtle.generateKey(sealCurve, isKept, ['sign', 'verify']);
  const [keys, anchorKeys] = [await make(true), await make(false)];
  const commonName = `${of.department}, ${of.institution}`;
  const named = (name: string): pkijs.RelativeDistinguishedNames =>
    nameOf([
      [oid.organisation, of.institution],
      [oid.organisationalUnit, of.department],
      [oid.commonName, name],
    ]);
  const anchorName = named(`${commonName}: seal ${of.serial}`);
  const years = { notBefore: of.notBefore, notAfter: of.notAfter };
  const above = { ...years, issuer: anchorName, issuerKey: anchorKeys };
  return {
    anchor: await certify({
      ...above,
      subject: anchorName,
      publicKey: anchorKeys.publicKey,
      mayCertify: true,
    }),
    certificate: await certify({
      ...above,
      subject: named(commonName),
      publicKey: keys.publicKey,
      mayCertify: false,
    }),
    privateKey: new Uint8Array(await crypto.subtle.exportKey('pkcs8', keys.privateKey)),
  };
}
