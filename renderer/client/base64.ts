/** A file as base64 (RFC 4648, section 4), read by the browser itself. */
export function asBase64(file: Blob): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.addEventListener('load', () => {
      const url = typeof reader.result === 'string' ? reader.result : '';
      resolve(url.slice(url.indexOf(',') + 1));
    });
    reader.addEventListener('error', () => reject(reader.error ?? new Error('the file cannot be read')));
    reader.readAsDataURL(file);
  });
}
