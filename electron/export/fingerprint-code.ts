import qrcode from 'qrcode-generator';
import { inks } from './palette.ts';

/**
 * A fingerprint as QR code, level M, one path: what a phone reads is the full hash in hexadecimal.
 *
 * @source ISO/IEC 18004 (quiet zone of four modules)
 */
export function fingerprintCode(text: string, size: number): string {
  const code = qrcode(0, 'M');
  code.addData(text, 'Byte');
  code.make();
  const count = code.getModuleCount();
  const quietZone = 4;
  let path = '';
  for (let row = 0; row < count; row += 1) {
    for (let column = 0; column < count; column += 1) {
      if (!code.isDark(row, column)) continue;
      // One rectangle for a run of dark modules: fewer seams, a shorter path.
      let length = 1;
      while (column + length < count && code.isDark(row, column + length)) length += 1;
      path += `M${column + quietZone} ${row + quietZone}h${length}v1h-${length}z`;
      column += length - 1;
    }
  }
  const side = count + 2 * quietZone;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${size}" height="${size}" viewBox="0 0 ${side} ${side}"><path d="${path}" fill="${inks.print}"/></svg>`;
}
