import type { Refusal } from '../../core/contract/contract.ts';
import type { CodeOf, InputOf, ReplyOf, RequestName } from '../../core/contract/request-map.ts';
import type { PersonView } from '../../core/contract/views.ts';
import type { AuditEvent, Role } from '../../core/record/objects.ts';
import type { Result } from '../../core/result.ts';
import type { NotebookFile } from '../storage/notebook-file.ts';
import type { Caller, Program } from './program.ts';
import type { Session } from './sessions.ts';

/** A request on its way: who asks, of which open notebook. */
export interface Asking {
  readonly program: Program;
  readonly notebook: NotebookFile;
  readonly caller: Caller;
  readonly session: Session | null;
}
export interface AskingPerson extends Asking {
  readonly session: Session;
  readonly person: PersonView;
}

export type Answer<K extends RequestName> = Result<ReplyOf<K>, Refusal<CodeOf<K>>>;

interface Rules {
  /** True when it changes the file: refused while that is open for reading only. */
  readonly writes: boolean;
}
/** How one request is served, and who may ask it at all; what may be done to an entry is core's word. */
export type Route<K extends RequestName> =
  | (Rules & {
      readonly by: 'anyone';
      readonly handle: (input: InputOf<K>, asking: Asking) => Promise<Answer<K>>;
    })
  | (Rules & {
      readonly by: 'signed-in' | Role;
      readonly handle: (input: InputOf<K>, asking: AskingPerson) => Promise<Answer<K>>;
    });

export type Routes<K extends RequestName> = { readonly [Name in K]: Route<Name> };

export const actorOf = (person: PersonView): NonNullable<AuditEvent['actor']> => ({
  person: person.id,
  printedName: person.printedName,
  role: person.role,
});
