import type { CheckReport } from '../../core/contract/views.ts';
import type { Problem, Result } from '../../core/result.ts';
import type { CheckOptions } from '../check/run-check.ts';
import { reading } from './bag.ts';
import { classListName } from './class-list.ts';
import { checkClassBag } from './class-read.ts';
import { checkRecordBag } from './deposit-read.ts';
import { depositSource } from './deposit-source.ts';

/**
 * Checks a deposit: the bag (every file as listed), the department's seal over the list, and then the
 * signed entries themselves. Changes nothing.
 *
 * @error what keeps it from being opened at all
 */
export async function checkDeposit(
  path: string,
  options: CheckOptions = {},
): Promise<Result<CheckReport, Problem>> {
  const opened = await depositSource(path);
  if (!opened.ok) return opened;
  const { source, close } = opened.value;
  try {
    return await reading(async () =>
      source.names.includes(classListName)
        ? checkClassBag(source, options)
        : (await checkRecordBag(source, options)).report,
    );
  } finally {
    close();
  }
}
