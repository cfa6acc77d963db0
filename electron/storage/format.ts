/** "FLrf" in SQLite's header: this file is a Fairleaf notebook, whatever its name. */
export const applicationId = 0x464c7266;

/**
 * `user_version` counts the migrations a file has seen. Written out, so that the database's thread
 * starts without loading them; a test holds it against `migrations/index.ts`.
 */
export const currentVersion = 4;
