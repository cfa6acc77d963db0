/** Where two pages stop saying the same, with a few words of each. */
export interface WordDifference {
  readonly printed: string;
  readonly data: string;
}

/** Words that are shown of each side, and one before them for the place. */
const mostWords = 8;

const shown = (words: readonly string[]): string =>
  words.length === 0
    ? 'nothing'
    : `“${words.slice(0, mostWords).join(' ')}${words.length > mostWords ? ' …' : ''}”`;

/** The first stretch in which two sequences of words differ; null when they do not. */
export function firstDifference(printed: readonly string[], data: readonly string[]): WordDifference | null {
  let start = 0;
  while (start < printed.length && start < data.length && printed[start] === data[start]) start += 1;
  if (start === printed.length && start === data.length) return null;
  const [left, right] = nextAgreement(printed, data, start);
  const from = Math.max(0, start - 1);
  return { printed: shown(printed.slice(from, left)), data: shown(data.slice(from, right)) };
}

/** How far is looked for the place where both go on alike. */
const reach = 40;

/** The nearest places after `start` from which three words (or the end) are the same on both sides. */
function nextAgreement(
  printed: readonly string[],
  data: readonly string[],
  start: number,
): readonly [number, number] {
  const agrees = (left: number, right: number): boolean =>
    [0, 1, 2].every((step) => printed[left + step] === data[right + step]);
  for (let sum = 1; sum < 2 * reach; sum += 1) {
    for (let ahead = 0; ahead <= sum; ahead += 1) {
      if (agrees(start + ahead, start + sum - ahead)) {
        return [Math.min(start + ahead, printed.length), Math.min(start + sum - ahead, data.length)];
      }
    }
  }
  return [Math.min(start + mostWords, printed.length), Math.min(start + mostWords, data.length)];
}

/** Words of one side that the other does not have as often, whatever their order. */
export function missingWords(from: readonly string[], inside: readonly string[]): readonly string[] {
  const left = new Map<string, number>();
  for (const word of inside) left.set(word, (left.get(word) ?? 0) + 1);
  return from.filter((word) => {
    const count = left.get(word) ?? 0;
    if (count > 0) left.set(word, count - 1);
    return count === 0;
  });
}

/** As `firstDifference`, for pages that may be laid out otherwise: only which words there are counts. */
export function unorderedDifference(
  printed: readonly string[],
  data: readonly string[],
): WordDifference | null {
  const added = missingWords(printed, data);
  const absent = missingWords(data, printed);
  return added.length + absent.length === 0 ? null : { printed: shown(added), data: shown(absent) };
}
