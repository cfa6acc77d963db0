/** Room for the signature, bytes: certificate, attributes and an ECDSA signature take about 1.2 kB. */
export const sealRoom = 8192;
/** Stands for a number of the byte range until it is known. */
export const rangePlaceholder = '**********';
