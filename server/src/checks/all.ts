/** Every check, in the order of the reference page. */
import type { Check } from './check.ts';
import { abbreviationUnexplained } from './abbreviation-unexplained.ts';
import { acceptedNothing } from './accepted-nothing.ts';
import { alone } from './alone.ts';
import { appliesToNothing } from './applies-to-nothing.ts';
import { approvalMissing } from './approval-missing.ts';
import { bandUnclear } from './band-unclear.ts';
import { beyondRange } from './beyond-range.ts';
import { cautionForm } from './caution-form.ts';
import { cautionTooWeak } from './caution-too-weak.ts';
import { circuitAlwaysDead } from './circuit-always-dead.ts';
import { circuitLeftOut } from './circuit-left-out.ts';
import { circuitNotNamed } from './circuit-not-named.ts';
import { costlyOrder } from './costly-order.ts';
import { deadEnd } from './dead-end.ts';
import { deadVoltageTest } from './dead-voltage-test.ts';
import { duplicateName } from './duplicate-name.ts';
import { endingNotHandled } from './ending-not-handled.ts';
import { endlessLoop } from './endless-loop.ts';
import { factUnknown } from './fact-unknown.ts';
import { faultNeverFound } from './fault-never-found.ts';
import { figureMissing } from './figure-missing.ts';
import { findsRuledOut } from './finds-ruled-out.ts';
import { hazardWeakened } from './hazard-weakened.ts';
import { heldTooLong } from './held-too-long.ts';
import { implausibleLimit } from './implausible-limit.ts';
import { instrumentCannotRead } from './instrument-cannot-read.ts';
import { instrumentCategory } from './instrument-category.ts';
import { isolationNotProved } from './isolation-not-proved.ts';
import { lateCaution } from './late-caution.ts';
import { leftUnsafe } from './left-unsafe.ts';
import { liveResistanceTest } from './live-resistance-test.ts';
import { longInstruction } from './long-instruction.ts';
import { missingCaution } from './missing-caution.ts';
import { missingKey } from './missing-key.ts';
import { notACommand } from './not-a-command.ts';
import { notIsolated } from './not-isolated.ts';
import { nothingLeft } from './nothing-left.ts';
import { pairedUnitsDisagree } from './paired-units-disagree.ts';
import { provesNothing } from './proves-nothing.ts';
import { qualifiedPerson } from './qualified-person.ts';
import { limitsReversed } from './limits-reversed.ts';
import { limitsUndecided } from './limits-undecided.ts';
import { readingGap } from './reading-gap.ts';
import { readingOverlap } from './reading-overlap.ts';
import { referenceMissing } from './reference-missing.ts';
import { releasedWithFindings } from './released-with-findings.ts';
import { resolutionTooCoarse } from './resolution-too-coarse.ts';
import { resultNeverMet } from './result-never-met.ts';
import { readingMissing } from './reading-missing.ts';
import { readingStale } from './reading-stale.ts';
import { repairNotProved } from './repair-not-proved.ts';
import { revisionNotRaised } from './revision-not-raised.ts';
import { runCircle } from './run-circle.ts';
import { runsUnreleased, runsWithdrawn } from './runs-withdrawn.ts';
import { saidNotSet } from './said-not-set.ts';
import { scaleSlip } from './scale-slip.ts';
import { severalActions } from './several-actions.ts';
import { setWithoutNeed } from './set-without-need.ts';
import { stateNotMet } from './state-not-met.ts';
import { termVaries } from './term-varies.ts';
import { textCutOff } from './text-cut-off.ts';
import { textDisagrees } from './text-disagrees.ts';
import { uncertainVerdict } from './uncertain-verdict.ts';
import { unitAmbiguous } from './unit-ambiguous.ts';
import { unitMismatch } from './unit-mismatch.ts';
import { unitMissing } from './unit-missing.ts';
import { unitUnknown } from './unit-unknown.ts';
import { unknownKey } from './unknown-key.ts';
import { unreachableStep } from './unreachable-step.ts';
import { vagueWord } from './vague-word.ts';
import { unknownName } from './unknown-name.ts';
import { unusedName } from './unused-name.ts';
import { waitTooShort } from './wait-too-short.ts';
import { wrongKind } from './wrong-kind.ts';
import { yamlSyntax } from './yaml-syntax.ts';

export const ALL_CHECKS: readonly Check[] = [
  // structure
  yamlSyntax,
  textCutOff,
  unknownKey,
  missingKey,
  wrongKind,
  duplicateName,
  unknownName,
  unusedName,
  // flow
  unreachableStep,
  deadEnd,
  endlessLoop,
  resultNeverMet,
  readingGap,
  readingOverlap,
  limitsUndecided,
  readingMissing,
  readingStale,
  endingNotHandled,
  runCircle,
  // safety
  missingCaution,
  lateCaution,
  stateNotMet,
  setWithoutNeed,
  saidNotSet,
  liveResistanceTest,
  deadVoltageTest,
  isolationNotProved,
  circuitNotNamed,
  circuitAlwaysDead,
  leftUnsafe,
  heldTooLong,
  waitTooShort,
  instrumentCategory,
  qualifiedPerson,
  cautionForm,
  cautionTooWeak,
  hazardWeakened,
  alone,
  // quantities
  unitMissing,
  unitUnknown,
  unitAmbiguous,
  unitMismatch,
  scaleSlip,
  implausibleLimit,
  limitsReversed,
  circuitLeftOut,
  instrumentCannotRead,
  beyondRange,
  resolutionTooCoarse,
  uncertainVerdict,
  pairedUnitsDisagree,
  textDisagrees,
  bandUnclear,
  // diagnosis
  findsRuledOut,
  notIsolated,
  faultNeverFound,
  nothingLeft,
  provesNothing,
  repairNotProved,
  costlyOrder,
  // wording
  longInstruction,
  severalActions,
  notACommand,
  vagueWord,
  termVaries,
  abbreviationUnexplained,
  // document control
  acceptedNothing,
  releasedWithFindings,
  approvalMissing,
  revisionNotRaised,
  referenceMissing,
  figureMissing,
  factUnknown,
  appliesToNothing,
  runsWithdrawn,
  runsUnreleased,
];

const BY_NAME = new Map(ALL_CHECKS.map((check) => [check.name, check]));

/** The check with this name. */
export function checkNamed(name: string): Check | undefined {
  return BY_NAME.get(name);
}
