/** `12 kB`, `3.4 MB`. @source IEC 80000-13 (kB = 1000 B) */
export function fileSize(bytes: number): string {
  if (bytes < 1000) return `${bytes}\u2009B`;
  return bytes < 1_000_000
    ? `${Math.round(bytes / 1000)}\u2009kB`
    : `${(bytes / 1_000_000).toFixed(1)}\u2009MB`;
}
