import { statfs } from 'node:fs/promises';
import { dirname } from 'node:path';

/**
 * File systems that are reached over a network, by their magic numbers.
 *
 * @source Linux statfs(2): NFS_SUPER_MAGIC, SMB_SUPER_MAGIC, CIFS_SUPER_MAGIC, SMB2_SUPER_MAGIC,
 *   AFS_SUPER_MAGIC, CODA_SUPER_MAGIC, NCP_SUPER_MAGIC, CEPH_SUPER_MAGIC
 */
const overNetwork: ReadonlySet<number> = new Set([
  0x6969, 0x517b, 0xff534d42, 0xfe534d42, 0x5346414f, 0x73757245, 0x564c, 0x00c36400,
]);

/** True for a file system type that is reached over a network. */
export const isNetworkType = (type: number): boolean => overNetwork.has(type >>> 0);

/**
 * Does a notebook stand on a drive reached over a network? SQLite's write-ahead log needs memory that
 * two computers do not share. Known for Linux by the file system, for Windows by a `\\server\share`
 * path; a drive letter or a mounted volume that stands for a network share is not recognised.
 */
export async function isOnNetworkDrive(path: string, platform: string = process.platform): Promise<boolean> {
  if (platform === 'win32') return /^[\\/]{2}[^\\/?.]/.test(path);
  if (platform !== 'linux') return false;
  try {
    return isNetworkType((await statfs(dirname(path))).type);
  } catch {
    return false;
  }
}
