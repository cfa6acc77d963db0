import { equationMarkup } from '../../core/equation/equation-markup.ts';
import { plainText } from '../../core/workings/markup.ts';
import { computeEntry } from '../../core/entry/compute-entry.ts';
import { snapshot } from '../../core/entry/snapshot.ts';
import type { EntryView } from '../../core/contract/views.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { formatQuantity } from '../../core/quantity/format.ts';
import type { Cell } from '../../core/reaction/table-types.ts';
import { fingerprint } from '../../core/record/fingerprint.ts';
import { contentFromTemplate, templateById } from '../../core/templates/index.ts';
import { carryOut } from '../services/demo/carry-out.ts';
import { DemoActor } from '../services/demo/demo-actor.ts';
import { DemoClock } from '../services/demo/demo-clock.ts';
import {
  demoCourse,
  demoDepartment,
  demoInstitution,
  demoPassphrase,
  demoPeople,
} from '../services/demo/people.ts';
import { dateOf, practicalStart } from '../services/demo/practical-day.ts';
import {
  acetylsalicylicCorrected,
  acetylsalicylicFirst,
} from '../services/demo/stories/acetylsalicylic-acid.ts';
import type { JobFile } from '../services/jobs.ts';
import { systemClock } from '../services/program.ts';
import { startProgram, type RunningProgram } from '../services/start-program.ts';

const hourMs = 3_600_000;
/** As in the demo: the passphrase is in the source, so that guarding it costs nothing. */
const tourCost = { N: 2 ** 12, r: 8, p: 1 };
type Say = (line: string) => void;

/**
 * The whole job on one preparation, through the same services as the screens, printed step by step.
 * People, times and weighings are invented; every figure is computed.
 */
export async function takeTour(path: string, say: Say): Promise<{ readonly pdf: JobFile }> {
  const startMs = practicalStart(Date.now(), systemClock.offsetMinutes(), 0);
  const clock = new DemoClock(systemClock, startMs - 20 * hourMs);
  const running = await startProgram({
    path,
    clock,
    keyCost: tourCost,
    log: (request, error) => console.error(`${request}:`, error),
  });
  try {
    const guide = new Guide(running, clock, startMs, say);
    await guide.begin();
    const { entryId, planned } = await guide.plan();
    const done = await guide.work(entryId, planned);
    await guide.sign(entryId);
    await guide.returnIt(entryId, done);
    await guide.correct(entryId, done);
    await guide.countersign(entryId);
    return { pdf: await guide.bind(entryId) };
  } finally {
    await running.stop();
  }
}

class Guide {
  readonly #running: RunningProgram;
  readonly #clock: DemoClock;
  readonly #startMs: number;
  readonly #say: Say;
  readonly #student: DemoActor;
  readonly #instructor: DemoActor;

  constructor(running: RunningProgram, clock: DemoClock, startMs: number, say: Say) {
    this.#running = running;
    this.#clock = clock;
    this.#startMs = startMs;
    this.#say = say;
    this.#student = new DemoActor(running.dispatch, 'student');
    this.#instructor = new DemoActor(running.dispatch, 'instructor');
  }

  async begin(): Promise<void> {
    this.#say('1  A department begins its notebook');
    const people = [demoPeople.ottilie, demoPeople.aldous].map((person) => ({
      ...person,
      passphrase: demoPassphrase,
    }));
    const setup = await this.#student.ask('setup.begin', {
      institution: demoInstitution,
      department: demoDepartment,
      passphrase: demoPassphrase,
      people,
    });
    this.#say(`  ${setup.institution}, ${setup.department} (invented, like everybody in it)`);
    for (const person of setup.people) {
      this.#say(`  ${person.printedName}, ${person.role}: own key, certified by the department`);
      const actor = person.role === 'student' ? this.#student : this.#instructor;
      await actor.signIn(person.id);
    }
  }

  async plan(): Promise<{ readonly entryId: string; readonly planned: EntryContent }> {
    const template = templateById(acetylsalicylicFirst.template);
    if (template === undefined) throw new Error('the template of the tour is missing');
    this.#say(`\n2  The student plans: ${template.title}, the evening before`);
    const me = await this.#student.ask('session.current', {});
    const record = await this.#student.ask('record.begin', {
      title: 'Practical record, second year',
      course: demoCourse,
      ownerId: me.session?.person.id ?? '',
    });
    const planned = contentFromTemplate(template, {
      date: dateOf(this.#startMs, this.#clock.offsetMinutes()),
      newId: this.#running.program.newId,
    });
    const entry = await this.#student.ask('entry.begin', { recordId: record.id, content: planned });
    const computation = computeEntry(planned);
    this.#say(`  ${plainText(equationMarkup(planned.equation))}`);
    for (const [index, row] of planned.rows.entries()) {
      const computed = computation.table.rows[index];
      if (row.role !== 'reactant' || computed === undefined) continue;
      const { mass, amount, equivalents } = computed.planned;
      this.#say(`  ${row.name}: ${[mass, amount, equivalents].map(cellText).filter(Boolean).join(', ')}`);
    }
    this.#say(`  ${computation.limitingText.planned}`);
    this.#say(`  theoretical yield ${cellText(computation.table.planned.theoreticalYield)}`);
    return { entryId: entry.id, planned };
  }

  async work(entryId: string, planned: EntryContent): Promise<EntryContent> {
    this.#say('\n3  At the bench: what was taken, seen, read off');
    const template = templateById(acetylsalicylicFirst.template);
    if (template === undefined) throw new Error('the template of the tour is missing');
    const done = carryOut(planned, template, acetylsalicylicFirst, {
      startMs: this.#startMs,
      offsetMinutes: this.#clock.offsetMinutes(),
      newId: this.#running.program.newId,
    });
    this.#clock.moveTo(this.#startMs + 50 * hourMs);
    await this.#student.save(entryId, done);
    const computation = computeEntry(done);
    const readings = done.stepRecords.reduce((sum, record) => sum + record.readings.length, 0);
    this.#say(`  ${done.stepRecords.length} steps ticked, ${readings} readings, ${done.notes.length} notes`);
    for (const deviation of computation.deviations.slice(0, 3)) this.#say(`  differs: ${deviation.sentence}`);
    this.#say('\n4  The result, on what was really taken');
    const { theoretical, crude, pure, recovery } = computation.yields;
    this.#say(`  theoretical yield ${cellText(theoretical)}`);
    this.#say(
      `  crude yield ${cellText(crude)}, pure yield ${cellText(pure)}, recovery ${cellText(recovery)}`,
    );
    for (const sentence of computation.melting?.sentences ?? []) this.#say(`  ${sentence}`);
    this.#say(`  ${snapshot(computation).lines.length} computed values, each with its workings`);
    return done;
  }

  async sign(entryId: string): Promise<void> {
    this.#say('\n5  Signed and handed in');
    const text = await this.#student.ask('signing.read', { entryId, meaning: 'performed' });
    this.#say(`  “${text.statement}”`);
    for (const warning of text.warnings) this.#say(`  told before signing: ${warning}`);
    this.#tellVersions(await this.#student.sign(entryId));
  }

  async returnIt(entryId: string, done: EntryContent): Promise<void> {
    this.#say('\n6  The instructor reads it and returns it');
    this.#clock.moveTo(this.#startMs + 60 * hourMs);
    const { lines } = await this.#instructor.ask('tray.list', {});
    for (const line of lines) {
      this.#say(
        `  in the tray: entry ${line.number}, ${line.title}, ${line.percentageYield}, ${line.meltingRange}`,
      );
      for (const deviation of line.deviations.slice(0, 2)) this.#say(`    ${deviation}`);
    }
    const comment = 'Say why the bath was too hot, and what it could have done.';
    await this.#instructor.comment(entryId, 'procedure', done.steps[1]?.id ?? null, comment);
    this.#say(`  comment on step 2: ${comment}`);
    const remark = 'A careful preparation. Please explain the place marked, and where the product went.';
    await this.#instructor.giveBack(entryId, remark);
    this.#say(`  returned: ${remark}`);
  }

  async correct(entryId: string, done: EntryContent): Promise<void> {
    this.#say('\n7  Corrected, signed again');
    const corrected: EntryContent = {
      ...done,
      stepRecords: done.stepRecords.map((record, index) => ({
        ...record,
        deviation: acetylsalicylicCorrected.steps[index]?.deviation ?? '',
      })),
      discussion: acetylsalicylicCorrected.discussion ?? '',
    };
    await this.#student.save(entryId, corrected);
    const { comments } = await this.#student.ask('entry.open', { entryId });
    for (const one of comments) await this.#student.ask('comment.settle', { commentId: one.id });
    this.#tellVersions(await this.#student.sign(entryId));
    const { differences } = await this.#student.ask('version.compare', { entryId, from: 1, to: 2 });
    for (const one of differences) this.#say(`  version 2 differs in: ${one.label}`);
  }

  async countersign(entryId: string): Promise<void> {
    this.#say('\n8  Countersigned, locked, bound to PDF');
    const locked = await this.#instructor.countersign(entryId, '17/20');
    this.#tellVersions(locked);
    const after = await this.#running.dispatch(
      'draft.save',
      { entryId, revision: locked.revision, content: { ...locked.content, discussion: 'Something else.' } },
      { client: 'student' },
    );
    this.#say(`  an attempt to change it: ${after.ok ? 'ACCEPTED' : `refused (${after.error.code})`}`);
    const { total } = await this.#student.ask('trail.list', {
      entryId,
      action: null,
      text: null,
      before: null,
      limit: 1,
    });
    this.#say(`  ${total} events in its audit trail`);
  }

  async bind(entryId: string): Promise<JobFile> {
    let job = await this.#student.ask('entry.bind', { entryId });
    while (job.state === 'running') {
      await new Promise((resolve) => setTimeout(resolve, 50));
      job = await this.#student.ask('job.state', { jobId: job.id });
    }
    const file = this.#running.jobFile(job.id, 'student');
    if (file === null) throw new Error(job.problem ?? 'the PDF was not made');
    return file;
  }

  #tellVersions(entry: EntryView): void {
    const version = entry.versions.at(-1);
    const signature = version?.signatures.at(-1);
    if (version === undefined || signature === undefined) return;
    this.#say(
      `  version ${version.n}, fingerprint ${fingerprint(version.hash)}; ${signature.meaning} by ${signature.printedName}; the entry is now ${entry.state}`,
    );
  }
}

const cellText = (cell: Cell): string => (cell.state === 'known' ? formatQuantity(cell.quantity).text : '');
