import { lowerBound } from '../diagnosis/best-order.ts';
import { bestOfSheet, writtenNumbers, type BestOfSheet, type DiagnosisSheet, type FirstMove } from '../diagnosis/what-if.ts';
import { probabilities } from '../diagnosis/problem.ts';
import { diagnosisSheet } from '../diagnosis/report.ts';
import { findingShares, writtenFlow } from '../diagnosis/written-order.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { nameOf, placeOf } from './walk-of.ts';

/** What is looked at in passing: larger procedures are left to `faultwright diagnose`. */
const MOST = { faults: 20, tests: 30, nodes: 1_000, places: 1_500 };
/** Below these a better order is not worth a word. */
const LEAST_MINUTES = 0.5;
const LEAST_SHARE = 0.05;

export const costlyOrder: Check = {
  name: 'costly-order',
  severity: 'hint',
  group: 'diagnosis',
  proves: 'No other order of the same tests, each with the states and readings it relies on, finds the fault in clearly fewer minutes on average.',
  why: 'A quick test of a frequent fault that comes late costs every run the tests before it.',
  source: 'Search over all orders with the bound of Huffman codes: Pattipati and Alexandridis, IEEE Trans. SMC 20(4), 1990 (from memory).',
  bad: `procedure: horn_silent
title: Horn silent
faults:
  relay: {title: Horn relay failed, weight: 10, remedy: Replace the relay.}
  button: {title: Horn button worn, weight: 20, remedy: Replace the button.}
  fuse: {title: Horn fuse open, weight: 70, remedy: Find the overload. Fit a fuse of the same rating.}
steps:
  - step: swap_relay
    ask: Does the horn sound with a relay that is known to be good?
    time: 15 min
    results:
      - when: yes
        finds: relay
      - when: no
        rules_out: [relay]
  - step: look_at_fuse
    ask: Does a test lamp light at both tabs of the fuse?
    time: 2 min
    results:
      - when: both tabs
        rules_out: [fuse]
        by_elimination: button
      - when: one tab
        finds: fuse
`,
  good: `procedure: horn_silent
title: Horn silent
faults:
  relay: {title: Horn relay failed, weight: 10, remedy: Replace the relay.}
  button: {title: Horn button worn, weight: 20, remedy: Replace the button.}
  fuse: {title: Horn fuse open, weight: 70, remedy: Find the overload. Fit a fuse of the same rating.}
steps:
  - step: look_at_fuse
    ask: Does a test lamp light at both tabs of the fuse?
    time: 2 min
    results:
      - when: both tabs
        rules_out: [fuse]
      - when: one tab
        finds: fuse
  - step: swap_relay
    ask: Does the horn sound with a relay that is known to be good?
    time: 15 min
    results:
      - when: yes
        finds: relay
      - when: no
        rules_out: [relay]
        by_elimination: button
`,
  wholeOnly: true,
  *run(context) {
    if (!isWorthALook(context) || missesFaults(context)) return;
    const sheet = diagnosisSheet(context.procedure, context.exploration);
    if (sheet.problem.tests.length < 2 || sheet.problem.tests.length > MOST.tests) return;
    const { planned, best } = judged(context.file, sheet);
    if (best?.firstMove === undefined) return;
    const steps = allSteps(context.procedure);
    const moved = steps.find((step) => step.name?.value === best.firstMove?.test);
    const other = steps.find((step) => step.name?.value === best.firstMove?.insteadOf);
    if (moved === undefined) return;
    yield {
      span: placeOf(moved),
      step: nameOf(moved),
      message: `The tests find the fault in ${planned.toFixed(1)} minutes on average; in another order they take ${best.minutes.toFixed(1)}.`,
      note: best.exact ? 'No order of them takes fewer.' : `No order of them can take fewer than ${best.lowerBound.toFixed(1)}.`,
      help: `${describeMove(best.firstMove)} \`faultwright diagnose\` shows the whole order. \`keep_first\` keeps a test where it is.`,
      ...(other ? { related: [{ file: context.file, span: placeOf(other), message: 'It would come before this one.' }] } : {}),
    };
  },
};

interface Judged {
  readonly planned: number;
  /** Absent where no order is clearly better. */
  readonly best?: BestOfSheet;
}

/** What a file last came to: most edits are of its prose, and change nothing of what the numbers are worked out from. */
const known = new Map<string, { readonly from: string; readonly judged: Judged }>();
const MOST_KNOWN = 16;

function judged(file: string, sheet: DiagnosisSheet): Judged {
  const from = JSON.stringify(sheet);
  const before = known.get(file);
  if (before?.from === from) return before.judged;
  const now = judge(sheet);
  known.delete(file);
  known.set(file, { from, judged: now });
  for (const oldest of known.keys()) if (known.size > MOST_KNOWN) known.delete(oldest);
  return now;
}

function judge(sheet: DiagnosisSheet): Judged {
  const written = writtenNumbers(sheet);
  const { planned } = written;
  // Compared is the same work in another order: where the written one misses faults, other checks speak first.
  if (written.detected.weighted < 0.999 || written.isolated.weighted < 0.999) return { planned };
  const tooLittle = (minutes: number): boolean => planned - minutes < Math.max(LEAST_MINUTES, LEAST_SHARE * planned);
  // The bound says at once of most orders that none could be clearly better.
  if (tooLittle(lowerBound(sheet.problem) + sheet.opening.minutes)) return { planned };
  const best = bestOfSheet(sheet, { places: MOST.places });
  return best.sound && !tooLittle(best.minutes) ? { planned, best } : { planned };
}

function isWorthALook({ procedure, program, exploration }: CheckContext): boolean {
  if (program.purpose === 'inspection' || exploration.approximate || exploration.nodes.length > MOST.nodes) return false;
  if (procedure.faults.length < 2 || procedure.faults.length > MOST.faults) return false;
  if (procedure.steps.filter((step) => step.results.length > 0).length > MOST.tests) return false;
  const tests = procedure.steps.filter((step) => step.results.length > 0 && step.kind !== 'decide');
  // Without weights and times a number would be invented.
  return procedure.faults.some((fault) => fault.weight !== undefined) && tests.filter((step) => step.time !== undefined).length * 2 > tests.length;
}

/** Told before anything is worked out of tests and states. A hair's breadth off, it is left to what follows. */
function missesFaults({ procedure, exploration }: CheckContext): boolean {
  const weights = probabilities(procedure.faults.map(({ name, weight }) => ({ name: name.value, weight: weight?.value ?? 1 })));
  const shares = findingShares(writtenFlow(exploration), weights.length);
  const detected = shares.reduce((sum, { found, mistaken }, fault) => sum + (weights[fault] ?? 0) * (found + mistaken), 0);
  const found = shares.reduce((sum, share, fault) => sum + (weights[fault] ?? 0) * share.found, 0);
  return detected < 0.998 || found < 0.998 * detected;
}

function describeMove({ after, test, insteadOf }: FirstMove): string {
  const last = after[after.length - 1];
  const place = last === undefined ? 'First' : `After '${last.test}' (${last.when})`;
  return `${place}, do '${test}'${insteadOf === undefined ? '' : ` before '${insteadOf}'`}.`;
}
