import { appendFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { shownBytes } from '../../core/attachments/attachment-file.ts';
import type { DepositRecordView, DepositView, EntryView } from '../../core/contract/views.ts';
import { entriesOfBundle } from '../../core/record/entries-of-bundle.ts';
import { depositEntryId } from '../../core/record/deposit-entry.ts';
import type { Bundle } from '../../core/record/bundle.ts';
import { ok, type Problem, type Result } from '../../core/result.ts';
import { reading, type BagSource } from '../archive/bag.ts';
import { classListName, type ClassLine } from '../archive/class-list.ts';
import { classListOf, withRecord } from '../archive/class-read.ts';
import { readDeposit } from '../archive/deposit-read.ts';
import { depositSource } from '../archive/deposit-source.ts';
import { PackageProblem } from '../archive/zip-read.ts';
import { sha256 } from '../keys/crypto.ts';
import { workFolder } from '../storage/work-folder.ts';
import type { AttachedFile } from './attachment-file.ts';

/** A deposit that lies open: a copy in a folder of its own, never part of the notebook. */
interface Opened {
  readonly id: string;
  readonly client: string;
  readonly personId: string;
  readonly folder: string;
  readonly path: string;
  sizeBytes: number;
  view: DepositView | null;
  /** The record read last, so that turning its pages does not read it again. */
  last: { readonly index: number; readonly bundle: Bundle } | null;
}

/** All deposits open at once; opening another puts the oldest away. */
const openAtOnce = 3;
/** The largest that is opened on the screen, bytes; `check` has no such bound. */
export const openedLimitBytes = 2 ** 32;

export class OpenedDeposits {
  readonly #all = new Map<string, Opened>();

  /** Begins to bring one in, or goes on. Null for one that is not there, or somebody else's. */
  async bring(
    who: { readonly client: string; readonly personId: string },
    id: string | null,
    newId: () => string,
    piece: Uint8Array,
  ): Promise<{ readonly id: string; readonly sizeBytes: number } | 'too-large' | null> {
    const opened = id === null ? await this.#begin(who, newId()) : this.#own(who, id);
    if (opened === null || opened.view !== null) return null;
    if (opened.sizeBytes + piece.length > openedLimitBytes) {
      await this.close(who, opened.id);
      return 'too-large';
    }
    await appendFile(opened.path, piece, { mode: 0o600 });
    opened.sizeBytes += piece.length;
    return { id: opened.id, sizeBytes: opened.sizeBytes };
  }

  /** Where it stands on the disk; null for one that is not there. */
  path(who: { readonly client: string; readonly personId: string }, id: string): string | null {
    return this.#own(who, id)?.path ?? null;
  }

  /** Reads its index pages. @error those of `depositSource` and `readDeposit` */
  async read(
    who: { readonly client: string; readonly personId: string },
    id: string,
    about: Pick<DepositView, 'name' | 'report'>,
  ): Promise<Result<DepositView, Problem> | null> {
    const opened = this.#own(who, id);
    if (opened === null) return null;
    const records = await this.#withSource(opened, async (source) => {
      const views: DepositRecordView[] = [];
      const problems: Problem[] = [];
      for (const [index] of (await linesOf(source)).entries()) {
        // One that is damaged or gone, which the report names, spoils no other.
        const bundle = await reading(() => bundleOf(source, index));
        if (bundle.ok) views.push(recordView(opened.id, index, bundle.value));
        else problems.push(bundle.error);
      }
      const [problem] = problems;
      if (views.length === 0 && problem !== undefined) throw new PackageProblem(problem.code, problem.facts);
      return views;
    });
    if (!records.ok) return records;
    opened.view = { id, ...about, records: records.value };
    return ok(opened.view);
  }

  views(who: { readonly client: string; readonly personId: string }): readonly DepositView[] {
    return [...this.#all.values()]
      .filter((one) => one.client === who.client && one.personId === who.personId)
      .flatMap((one) => (one.view === null ? [] : [one.view]));
  }

  /** An entry's page, or null. */
  async entry(
    who: { readonly client: string; readonly personId: string },
    entryId: string,
  ): Promise<{ readonly view: EntryView; readonly bundle: Bundle; readonly own: string } | null> {
    const found = await this.#find(who, entryId);
    if (found === null) return null;
    const view = entriesOfBundle(found.bundle).find((one) => one.id === found.own);
    return view === undefined
      ? null
      : { view: { ...view, id: entryId }, bundle: found.bundle, own: found.own };
  }

  /** A file attached to an entry of a deposit, or null; never one whose bytes are not those named. */
  async attachment(
    who: { readonly client: string; readonly personId: string },
    which: { readonly entryId: string; readonly sha256: string; readonly isOriginal: boolean },
  ): Promise<AttachedFile | null> {
    const found = await this.#find(who, which.entryId);
    if (found === null || !/^[0-9a-f]{64}$/.test(which.sha256)) return null;
    const notes = found.bundle.versions.flatMap(({ bytes }) => {
      const { entry, content } = JSON.parse(bytes) as {
        readonly entry: string;
        readonly content: EntryView['content'];
      };
      return entry === found.own ? content.attachments : [];
    });
    const note = notes.find((one) => one.sha256 === which.sha256);
    if (note === undefined) return null;
    const data = await this.#withSource(found.opened, (source) =>
      inRecord(source, found.index, async (record) => {
        const name = `data/attachments/${which.sha256}`;
        return record.names.includes(name) ? record.read(name) : null;
      }),
    );
    if (!data.ok || data.value === null || sha256(data.value) !== which.sha256) return null;
    return {
      bytes: which.isOriginal ? data.value : shownBytes(note.mediaType, data.value),
      name: note.name,
      mediaType: note.mediaType,
      isPicture: note.mediaType.startsWith('image/'),
    };
  }

  async close(who: { readonly client: string; readonly personId: string }, id: string): Promise<boolean> {
    const opened = this.#own(who, id);
    if (opened === null) return false;
    this.#all.delete(id);
    await rm(opened.folder, { recursive: true, force: true });
    return true;
  }

  /** Whoever leaves takes what they opened with them. */
  async closeOf(client: string): Promise<void> {
    for (const one of [...this.#all.values()]) if (one.client === client) await this.close(one, one.id);
  }

  async closeAll(): Promise<void> {
    for (const one of [...this.#all.values()]) await this.close(one, one.id);
  }

  async #begin(who: { readonly client: string; readonly personId: string }, id: string): Promise<Opened> {
    for (const one of [...this.#all.values()].slice(0, Math.max(0, this.#all.size - openAtOnce + 1))) {
      await this.close(one, one.id);
    }
    const folder = await workFolder('opened');
    const opened: Opened = {
      id,
      ...who,
      folder,
      path: join(folder, 'deposit.zip'),
      sizeBytes: 0,
      view: null,
      last: null,
    };
    this.#all.set(id, opened);
    return opened;
  }

  #own(who: { readonly client: string; readonly personId: string }, id: string): Opened | null {
    const opened = this.#all.get(id);
    return opened?.client === who.client && opened.personId === who.personId ? opened : null;
  }

  async #find(who: { readonly client: string; readonly personId: string }, entryId: string) {
    const [, id = '', record = '', ...rest] = entryId.split(':');
    const opened = this.#own(who, id);
    const index = Number(record);
    const isListed = opened?.view?.records.some(({ lines }) => lines.some((one) => one.entryId === entryId));
    if (opened === null || isListed !== true) return null;
    if (opened.last?.index !== index) {
      const bundle = await this.#withSource(opened, (source) => bundleOf(source, index));
      if (!bundle.ok) return null;
      opened.last = { index, bundle: bundle.value };
    }
    return { opened, index, bundle: opened.last.bundle, own: rest.join(':') };
  }

  async #withSource<T>(
    { path }: Opened,
    act: (source: BagSource) => Promise<T>,
  ): Promise<Result<T, Problem>> {
    const opened = await depositSource(path);
    if (!opened.ok) return opened;
    const { source, close } = opened.value;
    try {
      return await reading(() => act(source));
    } finally {
      close();
    }
  }
}

/** The records of a class; one of null for the bag of a single record. */
const linesOf = async (source: BagSource): Promise<readonly (ClassLine | null)[]> =>
  source.names.includes(classListName) ? (await classListOf(source)).records : [null];

async function inRecord<T>(
  source: BagSource,
  index: number,
  act: (record: BagSource) => Promise<T>,
): Promise<T> {
  const line = (await linesOf(source))[index] ?? null;
  return line === null ? act(source) : withRecord(source, line, act);
}

const bundleOf = (source: BagSource, index: number): Promise<Bundle> =>
  inRecord(source, index, async (record) => (await readDeposit(record)).bundle);

function recordView(deposit: string, index: number, bundle: Bundle): DepositRecordView {
  const entries = entriesOfBundle(bundle);
  const [first] = entries;
  return {
    title: first?.recordTitle ?? '',
    course: first?.course ?? '',
    owner: first?.owner.printedName ?? '',
    institution: bundle.institution,
    department: bundle.department,
    lines: entries.map((entry) => ({
      entryId: depositEntryId(deposit, index, entry.id),
      number: entry.number,
      date: entry.content.date,
      title: entry.content.title,
      state: entry.state,
      mark: entry.mark,
      versionCount: entry.versions.length,
      signers: (entry.versions.at(-1)?.signatures ?? []).map(({ role, initials }) => ({ role, initials })),
    })),
  };
}
