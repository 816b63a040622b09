/** Which very instrument a reading is taken with, and until when it is calibrated: by what was said in the run, else by the shop's file. */
import { calibrationStatus } from '../quantity/accuracy.ts';
import type { InstrumentSheet } from './checklist-document.ts';
import { orList } from './texts.ts';
import type { InstrumentView } from './view.ts';
import type { Walk } from './walk-state.ts';

export interface InstrumentInHand {
  /** Its number; undefined where nobody has said which it is. */
  readonly id: string | undefined;
  /** ISO 8601 date. */
  readonly calibratedUntil: string | undefined;
  /** Numbers that the shop lists, where it lists several and none was given. */
  readonly numbers: readonly string[];
}

/** What is known of the instrument that the procedure calls `name`. */
export function instrumentInHand(walk: Walk, name: string): InstrumentInHand {
  const said = [...walk.instruments].reverse().find((one) => one.instrument === name);
  if (said !== undefined) return { id: said.id, calibratedUntil: calibrationOf(walk, said), numbers: [] };
  const listed = walk.calibrations.filter((one) => one.instrument === name);
  if (listed.length > 1) return { id: undefined, calibratedUntil: undefined, numbers: listed.flatMap((one) => one.id ?? []) };
  return { id: listed[0]?.id, calibratedUntil: listed[0]?.calibratedUntil, numbers: [] };
}

/** The due date of an instrument whose number was given: as was said with it, else as the shop's file has it. */
export function calibrationOf(walk: Walk, said: Walk['instruments'][number]): string | undefined {
  if (said.calibratedUntil !== undefined) return said.calibratedUntil;
  return walk.calibrations.find((one) => one.instrument === said.instrument && one.id === said.id)?.calibratedUntil;
}

/** What the record must say beside a reading that was taken at `at`. */
export function calibrationRemarks(inHand: InstrumentInHand | undefined, at: string): string[] {
  if (inHand === undefined) return [];
  if (inHand.numbers.length > 0) return [`It was not said which instrument this was (${orList(inHand.numbers)}): its calibration is not on record.`];
  if (inHand.calibratedUntil === undefined || calibrationStatus(inHand.calibratedUntil, at.slice(0, 10)) !== 'overdue') return [];
  return [`The calibration of the instrument ended on ${inHand.calibratedUntil}.`];
}

/** The instrument of a step as it is shown. */
export function instrumentView(walk: Walk, sheet: InstrumentSheet): InstrumentView {
  const { id, calibratedUntil, numbers } = instrumentInHand(walk, sheet.name);
  const status = calibratedUntil === undefined ? 'not_a_date' : calibrationStatus(calibratedUntil, (walk.lastAt ?? '').slice(0, 10));
  return {
    ...sheet, numbers, ...(id === undefined ? {} : { number: id }), ...(calibratedUntil === undefined ? {} : { calibratedUntil }),
    ...(status === 'not_a_date' ? {} : { calibration: status }),
  };
}
