import type { EntryComputation } from '../../core/entry/entry-computation.ts';
import { snapshot } from '../../core/entry/snapshot.ts';
import type { ComputedSnapshot, SnapshotLine } from '../../core/record/objects.ts';

/** What a signed version says otherwise than this program would say today. */
export interface AsSigned {
  /** Rules and constants the version was worked out with. */
  readonly engine: string;
  /** By id of the working or sentence; empty when this program agrees with every value. */
  readonly lines: ReadonlyMap<string, SnapshotLine>;
}

/**
 * Holds the values frozen at signing against what they would be today. A signed entry shows the
 * frozen ones: a newer table of atomic weights must not change what somebody put their name to.
 */
export function asSigned(frozen: ComputedSnapshot, computation: EntryComputation): AsSigned {
  const today = new Map(snapshot(computation).lines.map((line) => [line.id, line]));
  const other = frozen.lines.filter((line) => {
    const now = today.get(line.id);
    return now === undefined || now.value !== line.value || now.unit !== line.unit;
  });
  return { engine: frozen.engine, lines: new Map(other.map((line) => [line.id, line])) };
}

/** A frozen value as the page shows it; without its uncertainty where there is no room for it. */
export function signedText(line: SnapshotLine, hasUncertainty: boolean): string {
  const [number = line.value] = line.value.split(' ± ');
  const unit = line.unit === '' ? '' : `\u2009${line.unit}`;
  return hasUncertainty && number !== line.value ? `(${line.value})${unit}` : `${number}${unit}`;
}
