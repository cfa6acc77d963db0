/** Long work in progress. */
export class Jobs {}
