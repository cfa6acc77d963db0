/** A command of `fairleaf`: prints to the console, and answers with the exit code. */
export interface Command {
  /** As in the list of commands. */
  readonly usage: string;
  readonly summary: string;
  readonly run: (args: readonly string[]) => Promise<number>;
}

/** Something the person at the keyboard can put right; printed without a stack. */
export class UsageError extends Error {}
