import * as asn1js from 'asn1js';
import * as pkijs from 'pkijs';

/** ECDSA on P-256 with SHA-256: what the seal signs with. */
export const sealCurve = { name: 'ECDSA', namedCurve: 'P-256' } as const;
export const sealHash = 'SHA-256';
export const sealEngine = new pkijs.CryptoEngine({ name: 'node', crypto: crypto });

const oid = {
  data: '1.2.840.113549.1.7.1',
  signedData: '1.2.840.113549.1.7.2',
  contentType: '1.2.840.113549.1.9.3',
  messageDigest: '1.2.840.113549.1.9.4',
  signingCertificateV2: '1.2.840.113549.1.9.16.2.47',
} as const;

/** A Buffer's `slice` shares its memory, and its `buffer` is the whole pool. */
const copyOf = (bytes: Uint8Array): Uint8Array<ArrayBuffer> => Uint8Array.from(bytes);

/** The certificate of the key that seals, and the anchor above it; X.509, DER. */
export type Chain = readonly [certificate: Uint8Array, anchor: Uint8Array];

const digestOf = (bytes: Uint8Array): Promise<ArrayBuffer> => crypto.subtle.digest(sealHash, copyOf(bytes));

/**
 * A detached CMS signature as PAdES wants it: content type, digest and the certificate's own digest are
 * signed; the time stands in the PDF's signature dictionary.
 *
 * @param chain X.509, DER: the certificate of the key that seals, then its anchor
 * @source RFC 5652; RFC 5035 (signing-certificate-v2); ETSI EN 319 142-1, 6.3
 */
async function signedDataOf(
  data: Uint8Array,
  chain: Chain,
  privateKey: CryptoKey,
): Promise<pkijs.SignedData> {
  const [certificate] = chain;
  const certificates = chain.map((one) => pkijs.Certificate.fromBER(copyOf(one).buffer));
  const [of] = certificates as [pkijs.Certificate];
  const attribute = (type: string, value: asn1js.BaseBlock): pkijs.Attribute =>
    new pkijs.Attribute({ type, values: [value] });
  const certificateDigest = new asn1js.OctetString({ valueHex: await digestOf(certificate) });
  // ESSCertIDv2 with SHA-256, its default, left out.
  const certificateId = new asn1js.Sequence({ value: [certificateDigest] });
  const signed = new pkijs.SignedData({
    version: 1,
    encapContentInfo: new pkijs.EncapsulatedContentInfo({ eContentType: oid.data }),
    signerInfos: [
      new pkijs.SignerInfo({
        version: 1,
        sid: new pkijs.IssuerAndSerialNumber({ issuer: of.issuer, serialNumber: of.serialNumber }),
        signedAttrs: new pkijs.SignedAndUnsignedAttributes({
          type: 0,
          attributes: [
            attribute(oid.contentType, new asn1js.ObjectIdentifier({ value: oid.data })),
            attribute(oid.messageDigest, new asn1js.OctetString({ valueHex: await digestOf(data) })),
            attribute(
              oid.signingCertificateV2,
              new asn1js.Sequence({ value: [new asn1js.Sequence({ value: [certificateId] })] }),
            ),
          ],
        }),
      }),
    ],
    certificates,
  });
  await signed.sign(privateKey, 0, sealHash, copyOf(data).buffer, sealEngine);
  return signed;
}

const bytesOf = (signed: pkijs.SignedData): Uint8Array =>
  new Uint8Array(
    new pkijs.ContentInfo({ contentType: oid.signedData, content: signed.toSchema(true) }).toSchema().toBER(),
  );

/** Signs the covered bytes; the private key is PKCS #8, DER. */
export async function signSeal(data: Uint8Array, chain: Chain, privateKey: Uint8Array): Promise<Uint8Array> {
  const key = await crypto.subtle.importKey('pkcs8', copyOf(privateKey), sealCurve, false, ['sign']);
  return bytesOf(await signedDataOf(data, chain, key));
}

/** A seal taken apart. */
export interface SealParts {
  /** X.509, DER, of whoever signed. */
  readonly certificate: Uint8Array;
  /** X.509, DER, of what stands above it. */
  readonly anchor: Uint8Array;
  readonly commonName: string;
  /** What ECDSA signed: the attributes, as a DER set. */
  readonly attributes: Uint8Array;
  /** ECDSA-Sig-Value, DER. */
  readonly signature: Uint8Array;
}

/** Takes a CMS signature apart; null for anything that is not one with one signer and two certificates. */
export function readSealParts(der: Uint8Array): SealParts | null {
  try {
    const content = pkijs.ContentInfo.fromBER(copyOf(der).buffer);
    if (content.contentType !== oid.signedData) return null;
    const signed = new pkijs.SignedData({ schema: content.content as asn1js.AsnType });
    const [signer, ...otherSigners] = signed.signerInfos;
    const [certificate, anchor, ...otherCertificates] = signed.certificates ?? [];
    if (signer?.signedAttrs === undefined || otherSigners.length > 0 || otherCertificates.length > 0) {
      return null;
    }
    if (!(certificate instanceof pkijs.Certificate && anchor instanceof pkijs.Certificate)) return null;
    const attributes = new Uint8Array(signer.signedAttrs.encodedValue.slice(0));
    // In the message they stand under a tag of their own; what is signed is a plain set (RFC 5652, 5.4).
    attributes[0] = 0x31;
    const name = certificate.subject.typesAndValues.find((one) => one.type === '2.5.4.3');
    return {
      certificate: new Uint8Array(certificate.toSchema(false).toBER()),
      anchor: new Uint8Array(anchor.toSchema(false).toBER()),
      commonName: name === undefined ? '' : String(name.value.valueBlock.value),
      attributes,
      signature: new Uint8Array(signer.signature.valueBlock.valueHexView),
    };
  } catch {
    return null;
  }
}

/**
 * The seal that this program would write over these bytes with that signature in it. Comparing it with
 * the one found leaves no byte of a seal unlooked at, not even those that no signature covers.
 */
export async function rebuildSeal(data: Uint8Array, parts: SealParts): Promise<Uint8Array> {
  const any = await crypto.subtle.generateKey(sealCurve, false, ['sign', 'verify']);
  const signed = await signedDataOf(data, [parts.certificate, parts.anchor], any.privateKey);
  const [signer] = signed.signerInfos;
  if (signer !== undefined)
    signer.signature = new asn1js.OctetString({ valueHex: copyOf(parts.signature).buffer });
  return bytesOf(signed);
}
