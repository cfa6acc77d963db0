import { contentFromTemplate, templates } from '../../../core/templates/index.ts';
import type { Asking } from '../asking.ts';
import { beginNotebook } from '../begin-notebook.ts';
import { entry } from '../entry.ts';
import { record } from '../record.ts';
import { demoDepartment, demoInstitution, demoPassphrase, demoPeople } from './people.ts';

/** Cheap on purpose: the passphrase is printed on the screen. Every sealed key states it. */
const demoCost = { N: 2 ** 12, r: 8, p: 1 };

/** Makes the demo notebook through the same services that a person would use. */
export async function makeDemo(asking: Asking): Promise<void> {
  const people = await beginNotebook(
    asking,
    {
      institution: demoInstitution,
      department: demoDepartment,
      passphrase: demoPassphrase,
      people: demoPeople.map(({ printedName, initials, role }) => ({
        printedName,
        initials,
        role,
        passphrase: demoPassphrase,
      })),
      isDemo: true,
    },
    demoCost,
  );
  const [student] = people;
  if (student === undefined) throw new Error('the demo has no people');
  const session = { person: student, openedAt: asking.program.clock.now(), lastUsedMs: 0 };
  const as = { ...asking, session, person: student };
  const begun = await record['record.begin'].handle(
    { title: 'Practical record, second year', course: 'Preparative chemistry II', ownerId: student.id },
    as,
  );
  if (!begun.ok) throw new Error(begun.error.code);
  for (const template of templates.slice(0, 3)) {
    const made = await entry['entry.begin'].handle(
      {
        recordId: begun.value.id,
        content: contentFromTemplate(template, {
          date: asking.program.clock.now().slice(0, 10),
          newId: () => asking.program.newId(),
        }),
      },
      as,
    );
    if (!made.ok) throw new Error(made.error.code);
  }
}
