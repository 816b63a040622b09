/**
 * The record of a run: one JSON value that stands up before someone who was not there. It holds what was entered as typed and
 * as understood, the limits it was held against, every correction beside its original, and the events as a chain of digests with
 * a final digest over all. `schemas/record.schema.json` describes it.
 */
export { buildRecord } from './build-record.ts';
export { checkRecord } from './check-record.ts';
export type * from './record-shape.ts';
