import { migrations } from '../../migrations/index.ts';

/** "FLrf" in SQLite's header: this file is a Fairleaf notebook, whatever its name. */
export const applicationId = 0x464c7266;

/** `user_version` counts the migrations a file has seen. */
export const currentVersion = Object.keys(migrations).length;
