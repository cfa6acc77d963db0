import own from '../../package.json' with { type: 'json' };

/** Goes into every version: which program wrote it. */
export const programName = `${own.name} ${own.version}`;
