/** A stretch of text that stayed, went or came. */
export interface TextPiece {
  readonly kind: 'same' | 'removed' | 'added';
  readonly text: string;
}

/** Beyond this many words on a side the middle is shown as replaced as a whole. */
const mostWords = 4000;

/** Words with the space that follows them, and single signs: what a reader sees as units. */
const words = (text: string): readonly string[] =>
  text.match(/[\p{L}\p{N}\p{M}]+(?:[.,'’−-][\p{L}\p{N}\p{M}]+)*[^\S\n]*|\n|[^\p{L}\p{N}\p{M}\n][^\S\n]*/gu) ??
  [];

/**
 * Tracked changes, word by word: the pieces marked same and added, read in order, are the new text;
 * same and removed are the old.
 *
 * Method: common beginning and end are set aside, the rest is the shortest edit script of Myers
 * (E. W. Myers, "An O(ND) Difference Algorithm and Its Variations", Algorithmica 1, 1986, 251-266).
 */
export function textDifference(old: string, now: string): readonly TextPiece[] {
  const a = words(old);
  const b = words(now);
  let start = 0;
  while (start < a.length && start < b.length && a[start] === b[start]) start += 1;
  let end = 0;
  while (
    end < a.length - start &&
    end < b.length - start &&
    a[a.length - 1 - end] === b[b.length - 1 - end]
  ) {
    end += 1;
  }
  const pieces: TextPiece[] = a.slice(0, start).map((text) => ({ kind: 'same', text }));
  const middleA = a.slice(start, a.length - end);
  const middleB = b.slice(start, b.length - end);
  pieces.push(
    ...(middleA.length > mostWords || middleB.length > mostWords
      ? replaced(middleA, middleB)
      : editScript(middleA, middleB)),
  );
  pieces.push(...a.slice(a.length - end).map((text): TextPiece => ({ kind: 'same', text })));
  return joined(pieces);
}

const replaced = (a: readonly string[], b: readonly string[]): readonly TextPiece[] => [
  ...a.map((text): TextPiece => ({ kind: 'removed', text })),
  ...b.map((text): TextPiece => ({ kind: 'added', text })),
];

/** Edits beyond which a word-by-word account helps nobody and costs memory. */
const mostEdits = 1500;

function editScript(a: readonly string[], b: readonly string[]): readonly TextPiece[] {
  const most = Math.min(a.length + b.length, mostEdits);
  // furthest[k + offset]: how far into `a` the best path on diagonal k has come after d edits.
  const offset = most + 1;
  const furthest = new Int32Array(2 * most + 3);
  const history: Int32Array[] = [];
  for (let d = 0; d <= most; d += 1) {
    history.push(furthest.slice(offset - d - 1, offset + d + 2));
    for (let k = -d; k <= d; k += 2) {
      const down = k === -d || (k !== d && at(furthest, k - 1 + offset) < at(furthest, k + 1 + offset));
      let x = down ? at(furthest, k + 1 + offset) : at(furthest, k - 1 + offset) + 1;
      while (x < a.length && x - k < b.length && a[x] === b[x - k]) x += 1;
      furthest[k + offset] = x;
      if (x >= a.length && x - k >= b.length) return backwards(a, b, history, d);
    }
  }
  return replaced(a, b);
}

const at = (list: Int32Array, index: number): number => list[index] ?? 0;

function backwards(
  a: readonly string[],
  b: readonly string[],
  history: readonly Int32Array[],
  edits: number,
): readonly TextPiece[] {
  const pieces: TextPiece[] = [];
  let x = a.length;
  let y = b.length;
  for (let d = edits; d >= 0; d -= 1) {
    const furthest = history[d] ?? new Int32Array(3);
    const value = (k: number): number => at(furthest, k + d + 1);
    const k = x - y;
    const down = k === -d || (k !== d && value(k - 1) < value(k + 1));
    const fromK = down ? k + 1 : k - 1;
    const fromX = d === 0 ? 0 : value(fromK);
    const fromY = d === 0 ? 0 : fromX - fromK;
    while (x > fromX && y > fromY) {
      x -= 1;
      y -= 1;
      pieces.push({ kind: 'same', text: a[x] ?? '' });
    }
    if (d === 0) break;
    if (down) {
      y -= 1;
      pieces.push({ kind: 'added', text: b[y] ?? '' });
    } else {
      x -= 1;
      pieces.push({ kind: 'removed', text: a[x] ?? '' });
    }
  }
  return pieces.reverse();
}

/** Neighbouring pieces become one; what went stands before what came. */
function joined(pieces: readonly TextPiece[]): readonly TextPiece[] {
  const out: TextPiece[] = [];
  let removed = '';
  let added = '';
  const flush = (): void => {
    if (removed !== '') out.push({ kind: 'removed', text: removed });
    if (added !== '') out.push({ kind: 'added', text: added });
    removed = '';
    added = '';
  };
  for (const piece of pieces) {
    if (piece.kind === 'removed') removed += piece.text;
    else if (piece.kind === 'added') added += piece.text;
    else {
      flush();
      const last = out.at(-1);
      if (last?.kind === 'same') out[out.length - 1] = { kind: 'same', text: last.text + piece.text };
      else out.push(piece);
    }
  }
  flush();
  return out;
}
