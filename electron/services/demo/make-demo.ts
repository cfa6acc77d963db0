import { contentFromTemplate, templateById } from '../../../core/templates/index.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import type { Asking } from '../asking.ts';
import { beginNotebook } from '../begin-notebook.ts';
import { PendingDrafts } from '../pending-drafts.ts';
import type { Program } from '../program.ts';
import { Sessions } from '../sessions.ts';
import { carryOut } from './carry-out.ts';
import { DemoActor } from './demo-actor.ts';
import { DemoClock } from './demo-clock.ts';
import {
  demoCourse,
  demoDepartment,
  demoInstitution,
  demoPassphrase,
  demoPeople,
  type DemoPerson,
} from './people.ts';
import { dateOf, practicalStart } from './practical-day.ts';
import {
  acetylsalicylicCorrected,
  acetylsalicylicFirst,
  acetylsalicylicWet,
} from './stories/acetylsalicylic-acid.ts';
import { benzilicAcidStory } from './stories/benzilic-acid.ts';
import { benzocaineStory } from './stories/benzocaine.ts';
import { benzoicAcidStory } from './stories/benzoic-acid.ts';
import { isopentylAcetateStory } from './stories/isopentyl-acetate.ts';
import { trisoxalatoferrateStory } from './stories/potassium-trisoxalatoferrate.ts';
import type { Story } from './story.ts';

/** Cheap on purpose: the passphrase is printed on the screen. Every sealed key of the demo states it. */
const demoCost = { N: 2 ** 12, r: 8, p: 1 };
const minuteMs = 60_000;
const hourMs = 60 * minuteMs;

/**
 * Makes the demo notebook: an invented class in the middle of its term. Everything is asked for as a
 * screen would ask, by people signed in with their own keys, at the times of an invented calendar.
 */
export async function makeDemo(asking: Asking): Promise<void> {
  const real = asking.program.clock;
  const nowMs = Date.parse(real.now());
  const start = (weeksAgo: number): number => practicalStart(nowMs, real.offsetMinutes(), weeksAgo);
  const clock = new DemoClock(real, start(7));
  const program: Program = {
    ...asking.program,
    clock,
    keyCost: demoCost,
    sessions: new Sessions(),
    pendingDrafts: new PendingDrafts(),
  };
  const keys = Object.keys(demoPeople) as DemoPerson[];
  const people = await beginNotebook(
    { ...asking, program },
    {
      institution: demoInstitution,
      department: demoDepartment,
      passphrase: demoPassphrase,
      people: keys.map((key) => ({ ...demoPeople[key], passphrase: demoPassphrase })),
      isDemo: true,
    },
    demoCost,
  );
  const dispatch = program.dispatcherOf(program);
  const at = async (key: DemoPerson): Promise<DemoActor> => {
    const actor = new DemoActor(dispatch, key);
    await actor.signIn(people[keys.indexOf(key)]?.id ?? '');
    return actor;
  };
  const class_ = new DemoClass(program, clock, {
    ottilie: await at('ottilie'),
    tobias: await at('tobias'),
    imke: await at('imke'),
    aldous: await at('aldous'),
  });
  await class_.beginRecords(people.map((person, index) => ({ id: person.id, key: keys[index] })));
  await tell(class_, start, nowMs);
  for (const key of ['ottilie', 'tobias', 'imke', 'aldous'] as const) {
    await class_.actors[key].ask('session.close', {});
  }
}

type Student = 'ottilie' | 'tobias' | 'imke';

/** The class, its records, and how a preparation goes from plan to signature. */
class DemoClass {
  readonly actors: Readonly<Record<Student | 'aldous', DemoActor>>;
  readonly clock: DemoClock;
  readonly #program: Program;
  readonly #records = new Map<string, string>();

  constructor(program: Program, clock: DemoClock, actors: DemoClass['actors']) {
    this.#program = program;
    this.clock = clock;
    this.actors = actors;
  }

  async beginRecords(
    people: readonly { readonly id: string; readonly key: DemoPerson | undefined }[],
  ): Promise<void> {
    for (const { id, key } of people) {
      if (key !== 'ottilie' && key !== 'tobias' && key !== 'imke') continue;
      const card = await this.actors[key].ask('record.begin', {
        title: 'Practical record, second year',
        course: demoCourse,
        ownerId: id,
      });
      this.#records.set(key, card.id);
    }
  }

  /** Begins an entry the evening before, from its template. */
  async plan(
    who: Student,
    templateId: string,
    startMs: number,
  ): Promise<{ entryId: string; content: EntryContent }> {
    const template = templateById(templateId);
    if (template === undefined) throw new Error(`there is no template ${templateId}`);
    this.clock.moveTo(startMs - 18 * hourMs);
    const content = contentFromTemplate(template, {
      date: dateOf(startMs, this.clock.offsetMinutes()),
      newId: this.#program.newId,
    });
    const recordId = this.#records.get(who) ?? '';
    const entry = await this.actors[who].ask('entry.begin', { recordId, content });
    return { entryId: entry.id, content };
  }

  /** Saves as the work goes on: after the bench, and with the result. */
  async carryOut(
    who: Student,
    entryId: string,
    content: EntryContent,
    story: Story,
    startMs: number,
  ): Promise<EntryContent> {
    const template = templateById(story.template);
    if (template === undefined) throw new Error(`there is no template ${story.template}`);
    const bench = { startMs, offsetMinutes: this.clock.offsetMinutes(), newId: this.#program.newId };
    const whole = carryOut(content, template, story, bench);
    const last = lastMinute(story);
    const sameDay = carryOut(
      content,
      template,
      { ...story, steps: story.steps.filter((step) => (step.to ?? step.from) < 600) },
      bench,
    );
    // The bench first: what is weighed and judged later is not there yet.
    this.clock.moveTo(startMs + Math.min(last, 240) * minuteMs);
    await this.actors[who].save(entryId, {
      ...sameDay,
      stepRecords: sameDay.stepRecords.map((record) => ({
        ...record,
        readings: record.readings.filter((one) => Date.parse(one.mark.at) <= startMs + 600 * minuteMs),
      })),
      result: content.result,
      calculation: '',
      discussion: '',
    });
    this.clock.moveTo(startMs + (last + (last > 240 ? 45 : 5)) * minuteMs);
    await this.actors[who].save(entryId, whole);
    return whole;
  }
}

async function tell(class_: DemoClass, start: (weeksAgo: number) => number, nowMs: number): Promise<void> {
  const { actors, clock } = class_;
  const later = (ms: number, hours: number): void => clock.moveTo(ms + hours * hourMs);

  // Seven weeks of term, in the order they happened.
  const first = start(5);
  const aspirin = await class_.plan('ottilie', 'acetylsalicylic-acid', first);
  const done = await class_.carryOut(
    'ottilie',
    aspirin.entryId,
    aspirin.content,
    acetylsalicylicFirst,
    first,
  );
  later(first, 54);
  await actors.ottilie.sign(aspirin.entryId);
  later(first, 70);
  await actors.aldous.comment(
    aspirin.entryId,
    'procedure',
    done.steps[1]?.id ?? null,
    '86 °C is outside the window. Say why, and what it could have done to the product.',
  );
  await actors.aldous.comment(
    aspirin.entryId,
    'discussion',
    null,
    'Where did the rest go? Name at least two losses, and judge the melting range.',
  );
  await actors.aldous.giveBack(
    aspirin.entryId,
    'A careful preparation. Please explain the two places marked.',
  );
  later(first, 96);
  const corrected = carryOutAgain(done, acetylsalicylicCorrected);
  await actors.ottilie.save(aspirin.entryId, corrected);
  const { comments } = await actors.ottilie.ask('entry.open', { entryId: aspirin.entryId });
  for (const comment of comments) await actors.ottilie.ask('comment.settle', { commentId: comment.id });
  await actors.ottilie.sign(aspirin.entryId);
  later(first, 120);
  await actors.aldous.countersign(aspirin.entryId, '17/20');

  const second = start(4);
  const ester = await class_.plan('ottilie', 'isopentyl-acetate', second);
  await class_.carryOut('ottilie', ester.entryId, ester.content, isopentylAcetateStory, second);
  later(second, 20);
  await actors.ottilie.sign(ester.entryId);
  later(second, 44);
  await actors.aldous.countersign(ester.entryId, '18/20');

  const third = start(2);
  const mistake = await class_.plan('ottilie', 'benzilic-acid', third);
  await actors.ottilie.ask('entry.strike-out', {
    entryId: mistake.entryId,
    reason: 'Begun from the wrong template: this week is benzoic acid.',
  });
  const acid = await class_.plan('ottilie', 'benzoic-acid', third);
  await class_.carryOut('ottilie', acid.entryId, acid.content, benzoicAcidStory, third);
  later(third, 52);
  await actors.ottilie.sign(acid.entryId);
  later(third, 76);
  await actors.aldous.comment(
    acid.entryId,
    'reagents',
    acid.content.rows.find((row) => row.role === 'work-up' && row.name.includes('hot'))?.id ?? null,
    'Work out how much stays in 120 mL at 5 °C; the worksheet below can do it.',
  );
  await actors.aldous.giveBack(acid.entryId, 'Put a figure to the loss in the mother liquor.');

  const last = start(0);
  const wet = await class_.plan('tobias', 'acetylsalicylic-acid', last);
  await class_.carryOut('tobias', wet.entryId, wet.content, acetylsalicylicWet, last);
  later(last, 50);
  await actors.tobias.sign(wet.entryId);
  const benzilic = await class_.plan('imke', 'benzilic-acid', last);
  await class_.carryOut('imke', benzilic.entryId, benzilic.content, benzilicAcidStory, last);
  later(last, 51);
  await actors.imke.sign(benzilic.entryId);
  const complex = await class_.plan('tobias', 'potassium-trisoxalatoferrate', last);
  await class_.carryOut('tobias', complex.entryId, complex.content, trisoxalatoferrateStory, last);
  later(last, 53);
  await actors.tobias.sign(complex.entryId);

  // One at the bench right now, and one planned for next time.
  const today = nowMs - 55 * minuteMs;
  const benzocaine = await class_.plan('ottilie', 'benzocaine', today);
  await class_.carryOut('ottilie', benzocaine.entryId, benzocaine.content, benzocaineStory, today);
  await class_.plan('imke', 'methyl-3-nitrobenzoate', nowMs + 26 * hourMs);
}

const lastMinute = ({ steps, notes = [] }: Story): number =>
  Math.max(
    ...steps.flatMap((step) => [step.to ?? step.from, ...(step.readings ?? []).map((one) => one.at)]),
    ...notes.map((note) => note.at),
  );

/** The texts of a later story over what was done: the bench is not repeated. */
function carryOutAgain(content: EntryContent, story: Story): EntryContent {
  return {
    ...content,
    stepRecords: content.stepRecords.map((record, index) => ({
      ...record,
      deviation: story.steps[index]?.deviation ?? '',
    })),
    discussion: story.discussion ?? '',
  };
}
