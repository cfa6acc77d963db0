import { storageSentence } from '../../core/wording/services.ts';
import { storageProblem } from '../storage/storage-problem.ts';
import { check } from './check.ts';
import { UsageError, type Command } from './command.ts';
import { host } from './host.ts';
import { restore } from './restore.ts';
import { tour } from './tour.ts';
import { workOutCommand } from './work-out.ts';

const commands: Readonly<Record<string, Command>> = {
  tour,
  'work-out': workOutCommand,
  check,
  host,
  restore,
};

function help(): string {
  const width = Math.max(...Object.values(commands).map((command) => command.usage.length));
  return [
    'npm run -s fairleaf -- COMMAND',
    '',
    ...Object.values(commands).map(({ usage, summary }) => `  ${usage.padEnd(width)}   ${summary}`),
  ].join('\n');
}

async function run([name = '', ...args]: readonly string[]): Promise<number> {
  if (name === '' || name === '--help' || name === 'help') {
    console.log(help());
    return name === '' ? 2 : 0;
  }
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (command === undefined) {
    console.error(`There is no command “${name}”.\n\n${help()}`);
    return 2;
  }
  try {
    return await command.run(args);
  } catch (error) {
    const isOptions = String((error as { code?: unknown }).code).startsWith('ERR_PARSE_ARGS');
    if (error instanceof UsageError || isOptions) {
      console.error(`${(error as Error).message}\nUsage: npm run -s fairleaf -- ${command.usage}`);
      return 2;
    }
    const problem = storageProblem(error);
    if (problem === null) throw error;
    console.error(storageSentence(problem));
    return 1;
  }
}

process.exitCode = await run(process.argv.slice(2));
