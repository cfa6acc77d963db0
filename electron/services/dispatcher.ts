import * as v from 'valibot';
import type { Refusal, RequestContract } from '../../core/contract/contract.ts';
import type { RequestName } from '../../core/contract/request-map.ts';
import { readInput } from '../../core/contract/read-input.ts';
import { requests } from '../../core/contract/requests.ts';
import type { Result } from '../../core/result.ts';
import { storageProblem } from '../storage/storage-problem.ts';
import type { Asking, AskingPerson, Route } from './asking.ts';
import { refuse, type Caller, type Program } from './program.ts';
import { routes } from './routes.ts';
import { endSession } from './session.ts';
import { isIdle, type Session } from './sessions.ts';

/** The reply to one request, as every transport sends it. */
export type Reply = Result<unknown, Refusal>;
export type Dispatch = (name: string, raw: unknown, caller: Caller) => Promise<Reply>;

/** Asked again and again by a program, these say nothing about a person at the keyboard. */
const quiet: ReadonlySet<string> = new Set(['job.state', 'setup.state']);

type AnyRoute = Route<RequestName>;
type AnyContract = RequestContract<unknown, unknown, string>;

/**
 * The one way in: knows the request, parses what came, sees who asks and whether they may, serves it,
 * and holds the reply to the contract too. Never throws; what was not expected is logged and answered
 * `internal`, without a word of what it was.
 */
export function createDispatcher(program: Program): Dispatch {
  return async (name, raw, caller) => {
    try {
      return await dispatch(program, name, raw, caller);
    } catch (error) {
      const problem = storageProblem(error);
      if (problem !== null) {
        program.log(name, error);
        return refuse('storage-failed', '', { ...problem.facts, reason: problem.reason });
      }
      program.log(name, error);
      return refuse('internal');
    }
  };
}

async function dispatch(program: Program, name: string, raw: unknown, caller: Caller): Promise<Reply> {
  if (!Object.hasOwn(requests, name)) return refuse('invalid-input', '', { reason: 'unknown-request' });
  const contract = requests[name as RequestName] as unknown as AnyContract;
  const route = routes[name as RequestName] as unknown as AnyRoute;

  const input = readInput(contract.input, raw);
  if (!input.ok) return refuse('invalid-input', input.error.where, { reason: input.error.reason });

  if (!program.notebook.ok) {
    const { reason, facts } = program.notebook.error;
    return refuse('storage-failed', '', { ...facts, reason });
  }
  const notebook = program.notebook.value;
  const session = await currentSession(program, caller, quiet.has(name));
  const asking: Asking = { program, notebook, caller, session };
  if (route.writes && notebook.readOnly !== null) {
    const { reason, facts } = notebook.readOnly;
    return refuse('storage-failed', '', { ...facts, reason });
  }
  const answer = await serve(route, input.value, asking);
  return answer.ok ? held(contract, answer) : answer;
}

async function serve(route: AnyRoute, input: unknown, asking: Asking): Promise<Reply> {
  if (route.by === 'anyone') return route.handle(input as never, asking);
  const { session } = asking;
  if (session === null) return refuse('not-signed-in');
  if (route.by !== 'signed-in' && route.by !== session.person.role) return refuse('not-allowed');
  const person: AskingPerson = { ...asking, session, person: session.person };
  return route.handle(input as never, person);
}

/** Locks a session that has been idle too long before it can be used. */
async function currentSession(program: Program, caller: Caller, isQuiet: boolean): Promise<Session | null> {
  const session = program.sessions.of(caller.client);
  if (session === null || !program.notebook.ok) return null;
  if (isIdle(session, program.clock)) {
    await endSession({ program, notebook: program.notebook.value, caller }, 'session.lock');
    return null;
  }
  if (!isQuiet) session.lastUsedMs = program.clock.monotonicMs();
  return session;
}

/** A reply that is not what the contract says is our own mistake, and stays here. */
function held(contract: AnyContract, answer: { readonly ok: true; readonly value: unknown }): Reply {
  const parsed = v.safeParse(contract.reply, answer.value, { abortEarly: true });
  if (!parsed.success) {
    const [issue] = parsed.issues;
    throw new Error(`the reply does not keep the contract at ${v.getDotPath(issue) ?? '(the whole)'}`);
  }
  return answer;
}
