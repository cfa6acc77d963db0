import { limits } from '../../../core/contract/parts.ts';
import type { DepositView } from '../../../core/contract/views.ts';
import { asBase64 } from '../../client/base64.ts';
import type { Answer, Client } from '../../client/client.ts';

/** A multiple of three bytes has no padding, and stays under what one request may carry. */
const pieceBytes = Math.floor(limits.pieceBytes / 3) * 3;

/**
 * Hands a deposit over piece by piece, so that it is never in memory as a whole, and has it opened.
 *
 * @param onProgress told the share that is over, 0 to 1
 */
export async function bringDeposit(
  client: Client,
  file: File,
  onProgress: (fraction: number) => void,
): Promise<Answer<'deposit.open'>> {
  let depositId: string | null = null;
  for (let at = 0; at === 0 || at < file.size; at += pieceBytes) {
    const data = await asBase64(file.slice(at, at + pieceBytes));
    const brought: Answer<'deposit.bring'> = await client.ask('deposit.bring', { depositId, data });
    if (!brought.ok) return brought;
    ({ depositId } = brought.value);
    onProgress(Math.min(1, (at + pieceBytes) / Math.max(1, file.size)));
  }
  return client.ask('deposit.open', { depositId: depositId ?? '', name: file.name });
}

/** How a deposit is called on the page: its record, or how many it holds. */
export const depositTitle = ({ records }: DepositView): string =>
  records.length === 1 ? (records[0]?.title ?? '') : `${records.length} practical records`;
