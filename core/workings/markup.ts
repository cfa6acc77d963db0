/**
 * Light markup: `_{…}` subscript, `^{…}` superscript, everything else as it stands. It does not nest,
 * and a stray `_` or `^` is just itself, so any text is valid markup.
 */
export interface MarkupRun {
  readonly text: string;
  readonly script?: 'sub' | 'super';
}

const scriptPattern = /([_^])\{([^{}]*)\}/g;

/** Splits light markup into runs, none of them empty. */
export function parseMarkup(markup: string): MarkupRun[] {
  const runs: MarkupRun[] = [];
  let at = 0;
  for (const match of markup.matchAll(scriptPattern)) {
    if (match.index > at) runs.push({ text: markup.slice(at, match.index) });
    const [whole, sign, text = ''] = match;
    if (text !== '') runs.push({ text, script: sign === '_' ? 'sub' : 'super' });
    at = match.index + whole.length;
  }
  if (at < markup.length) runs.push({ text: markup.slice(at) });
  return runs;
}

const lowered: Readonly<Record<string, string>> = toTable('0123456789+−-()', '₀₁₂₃₄₅₆₇₈₉₊₋₋₍₎');
const raised: Readonly<Record<string, string>> = toTable('0123456789+−-()', '⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁻⁽⁾');

function toTable(from: string, to: string): Record<string, string> {
  const targets = [...to];
  return Object.fromEntries([...from].map((one, index) => [one, targets[index] ?? one]));
}

const inScript = (text: string, table: Readonly<Record<string, string>>): string | null => {
  const characters = [...text].map((one) => table[one]);
  return characters.every((one) => one !== undefined) ? characters.join('') : null;
};

/**
 * Light markup as plain text for terminals, titles and file names: H₂SO₄, SO₄²⁻, m_theo. Letters
 * have no reliable subscript characters and keep their mark.
 */
export const plainText = (markup: string): string =>
  parseMarkup(markup)
    .map(({ text, script }) => {
      if (script === undefined) return text;
      return script === 'sub'
        ? (inScript(text, lowered) ?? `_${text}`)
        : (inScript(text, raised) ?? `^${text}`);
    })
    .join('');
