import type { Report } from '../findings/finding.ts';
import type { Prose, Step } from '../procedure/model.ts';
import { dimensionsCompare } from '../quantity/dimension.ts';
import { formatWritten } from '../quantity/format-band.ts';
import { findQuantitiesInProse, quantitiesAgree, type ProseQuantity } from '../quantity/prose-quantities.ts';
import { makeQuantity, quantityDimension, type Quantity } from '../quantity/quantity.ts';
import { compareRational } from '../quantity/rational.ts';
import { stepsLookedAt, type Check, type CheckContext } from './check.ts';
import { listed } from './edits.ts';
import { limitVerdicts } from './limit-verdicts.ts';
import { limitsOfSteps, type Limit, type LimitsOfStep } from './limits-of.ts';
import { placeInProse } from './prose-of.ts';
import { nameOf } from './walk-of.ts';
import { wordListOf } from './words/languages.ts';
import { isCommand } from './words/commands.ts';
import { sentencesOf } from './words/sentences.ts';
import type { WordList } from './words/word-list.ts';

export const textDisagrees: Check = {
  name: 'text-disagrees',
  severity: 'warning',
  group: 'quantities',
  proves: 'A limit that the text of a step states is one of its limits, and a time that the text asks for is the time of the step.',
  why: 'The technician reads the sentence, the checklist judges by the limit, and the two differ.',
  source: 'Common practice, no source',
  bad: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: dc_voltage
    text: The voltage must be at least 12.4 V.
    results:
      - when: at least 12.6 V
        passes: true
      - when: below 12.6 V
        refer: Fetch a charged battery.
`,
  good: `procedure: supply
title: Supply low
steps:
  - step: supply
    measure: dc_voltage
    text: The voltage must be at least 12.6 V.
    results:
      - when: at least 12.6 V
        passes: true
      - when: below 12.6 V
        refer: Fetch a charged battery.
`,
  texts: 'each',
  *run(context) {
    // Where a limit has slipped by decades, that has been said, and the text is most likely right.
    const slipped = new Set(context.once(limitVerdicts).flatMap((verdict) => (verdict.check === 'scale-slip' ? [verdict.index] : [])));
    for (const at of context.once(limitsOfSteps)) if (!slipped.has(at.index)) yield* statedLimits(context, at);
    for (const [, step] of stepsLookedAt(context)) yield* statedTimes(context, step);
  },
};

/** 'must be at least 12.4 V' in a step whose only limit is 12.6 V. */
function* statedLimits(context: CheckContext, at: LimitsOfStep): Generator<Report> {
  const { step, limits, allKnown, reading } = at;
  const known = limits.flatMap(quantitiesOf);
  if (!allKnown || known.length === 0) return;
  const list = wordListOf(context.procedure);
  const { before, behind } = limitPatternsOf(list);
  const others = [reading?.range?.value, ...(reading ? circuitOf(context, reading) : [])].filter((quantity) => quantity !== undefined);
  const own: [Prose, readonly Limit[]][] = [step.text, step.question, step.title, step.note]
    .flatMap((prose): [Prose, readonly Limit[]][] => (prose ? [[prose, limits]] : []));
  for (const [index, result] of step.results.entries()) {
    if (result.says) own.push([result.says, limits.filter((limit) => limit.result === index)]);
  }
  for (const [prose, compared] of own) {
    for (const sentence of /\d/u.test(prose.value) ? sentencesOf(prose.value, list) : []) {
      if (!/\d/u.test(sentence.text)) continue;
      let lastWasLimit = false;
      let lastEnd = 0;
      for (const found of findQuantitiesInProse(sentence.text)) {
        const between = sentence.text.slice(lastEnd, found.span.start);
        const lead = sentence.text.slice(0, found.span.start);
        const isSet = setsToolOf(at, lead, list);
        const isLimit: boolean = isSet || before.test(lead) || behind.test(sentence.text.slice(found.span.end)) || (lastWasLimit && /^\s*(?:and|to|-|–)\s*$/u.test(between));
        lastWasLimit = isLimit;
        lastEnd = found.span.end;
        if (!isLimit || !isOfKind(found, compared) || isAmong(found, [...known.filter(ofOneOf(compared)), ...others])) continue;
        if (!isSet && (followsCondition(lead, list) ? !followsVerdict(lead, list) : !statesWhatIsRight(sentence.text, list))) continue;
        if (isSet && liesBetween(found.quantity, compared.flatMap(quantitiesOf))) continue;
        const start = sentence.span.start + found.span.start;
        const span = placeInProse(prose, start, start + (found.span.end - found.span.start));
        const texts = [...new Set(compared.map((limit) => limit.text))];
        const fits = texts.length === 1 && context.text.slice(span.start, span.end) === sentence.text.slice(found.span.start, found.span.end);
        yield {
          span,
          ...(fits ? { fixes: [{ title: `Change the text to ${texts[0] ?? ''}`, edits: [{ file: context.file, span, newText: texts[0] ?? '' }], altersMeaning: true }] } : {}),
          step: nameOf(step),
          message: `The text says ${withUnit(found.quantity)}, and ${limitsInWords(compared, compared.length === limits.length ? 'step' : 'result')}.`,
          help: 'Correct one of them. Better: leave the number out of the text.',
        };
      }
    }
  }

  function ofOneOf(some: readonly Limit[]): (quantity: Quantity) => boolean {
    const allowed = some.flatMap(quantitiesOf);
    return (quantity) => allowed.some((other) => compareRational(other.base, quantity.base) === 0);
  }
}

const limitPatterns = new WeakMap<WordList, { readonly before: RegExp; readonly behind: RegExp }>();

/** What makes a number a limit, before it and behind it. Between the phrase and its number only words such as 'of' or 'about', or the number before it of a range. */
function limitPatternsOf(list: WordList): { readonly before: RegExp; readonly behind: RegExp } {
  let patterns = limitPatterns.get(list);
  if (patterns === undefined) {
    const anyOf = (phrases: readonly string[]): string => phrases.map((phrase) => phrase.replace(/ /gu, '\\s+')).join('|');
    patterns = {
      before: new RegExp(`(?<!\\p{L})(?:${anyOf(list.limitPhrases)})(?:\\s+(?:of|about|approximately|or|and|to|be|read|a|the))*\\s*$`, 'iu'),
      behind: new RegExp(`^\\s*\\(?(?:${anyOf(list.limitPhrasesAfter)})(?!\\p{L})`, 'iu'),
    };
    limitPatterns.set(list, patterns);
  }
  return patterns;
}

/** '12.0 V' also where the unit stands only at the second number of a range. */
function withUnit({ text, unit }: Quantity): string {
  return unit !== undefined && /^[-\u2212]?[\d.,]+$/u.test(text.trim()) ? `${text.trim()} ${unit.symbol}` : text.trim();
}

function limitsInWords(limits: readonly Limit[], owner: string): string {
  const texts = [...new Set(limits.map((limit) => limit.text))];
  return texts.length === 1 ? `the limit of the ${owner} is ${texts[0] ?? ''}` : `the limits of the ${owner} are ${listed(texts)}`;
}

/** A statement, or a command to judge: 'Charge it to at least 12.6 V' says nothing of the limits of the step. */
function statesWhatIsRight(sentence: string, list: WordList): boolean {
  if (!isCommand(sentence, list)) return true;
  return list.judgingVerbs.has(/^\P{L}*(\p{L}+)/u.exec(sentence)?.[1]?.toLowerCase() ?? '');
}

/** 'Stop when it is above 110 °C': the number says when to act. */
function followsCondition(before: string, list: WordList): boolean {
  return before.toLowerCase().split(/[^\p{L}']+/u).some((word) => list.conditionWords.has(word));
}

/** 'Hold it for 10 seconds' against `max_time: 5 s`; 'Wait 10 minutes' against `wait: 5 min`. */
function* statedTimes({ procedure }: CheckContext, step: Step): Generator<Report> {
  const list = wordListOf(procedure);
  const { maxTime, wait } = step;
  if (maxTime === undefined && wait === undefined) return;
  for (const prose of [...step.actions, step.question, step.text]) {
    if (prose === undefined) continue;
    for (const sentence of sentencesOf(prose.value, list)) {
      const times = findQuantitiesInProse(sentence.text).filter((found) => quantityDimension(found.quantity) === 'time');
      const only = times.length === 1 ? times[0] : undefined;
      if (only === undefined) continue;
      const start = sentence.span.start + only.span.start;
      const span = placeInProse(prose, start, start + (only.span.end - only.span.start));
      const said = only.quantity.text.trim();
      const holds = /\b(?:hold|held|keep|press|crank)\b/iu.test(sentence.text) && /\bfor\s+(?:about\s+|at least\s+)?$/iu.test(sentence.text.slice(0, only.span.start));
      if (maxTime && holds && compareRational(only.quantity.base, maxTime.value.base) > 0) {
        yield { span, step: nameOf(step), message: `The text asks for ${said}, and \`max_time\` is ${formatWritten(maxTime.value)}.`, help: 'Correct one of them.' };
      }
      const waits = /^(?:then\s+)?wait\b/iu.test(sentence.text) && !/\b(?:at most|until)\b/iu.test(sentence.text);
      const order = wait ? compareRational(only.quantity.base, wait.value.base) : 0;
      const isLeast = /\bat least\s+$/iu.test(sentence.text.slice(0, only.span.start));
      if (wait && waits && (isLeast ? order > 0 : order !== 0)) {
        yield { span, step: nameOf(step), message: `The text asks to wait ${said}, and \`wait\` is ${formatWritten(wait.value)}.`, help: 'Correct one of them. Better: leave the time out of the text.' };
      }
    }
  }
}

/** 'Set the wrench to 475 lb·ft': a tool that clicks at the value it is set to judges by that value. */
function setsToolOf({ word }: LimitsOfStep, lead: string, list: WordList): boolean {
  const words = lead.toLowerCase().split(/[^\p{L}'-]+/u).filter(Boolean);
  return word === 'torque' && list.settingVerbs.has(words[0] ?? '') && list.toolsSetToLimit.some((tool) => ` ${words.join(' ')} `.includes(` ${tool} `)) && /\bto\s+$/iu.test(lead);
}

/** A tool set inside the limits of a `between` is set right. */
function liesBetween({ base }: Quantity, limits: readonly Quantity[]): boolean {
  return limits.some((limit) => compareRational(limit.base, base) <= 0) && limits.some((limit) => compareRational(limit.base, base) >= 0);
}

/** 'The jaw is worn out when it is above 45 mm': what stands before the condition passes a verdict. */
function followsVerdict(lead: string, list: WordList): boolean {
  const words = lead.toLowerCase().split(/[^\p{L}']+/u).filter(Boolean);
  const condition = words.findIndex((word) => list.conditionWords.has(word));
  return condition > 0 && words.slice(0, condition).some((word) => list.verdictWords.has(word));
}

function circuitOf({ scope }: CheckContext, step: Step): Quantity[] {
  const nominal = step.circuit && scope.circuits.get(step.circuit.value)?.item.nominal?.value;
  return nominal ? [nominal] : [];
}

function quantitiesOf(limit: Limit): Quantity[] {
  if (limit.literal) return [limit.literal];
  // A value by name has no digits of its own: it is compared exactly, and with what it rounds to.
  return limit.values.map((value) => makeQuantity(limit.text, value.base, undefined, 0)).map((quantity, index) => ({ ...quantity, unit: limit.values[index]?.unit }));
}

function isOfKind(found: ProseQuantity, limits: readonly Limit[]): boolean {
  return limits.some((limit) => limit.values.some((value) => dimensionsCompare(value.dimension, quantityDimension(found.quantity))));
}

function isAmong(found: ProseQuantity, quantities: readonly Quantity[]): boolean {
  return quantities.some((quantity) =>
    compareRational(quantity.base, found.quantity.base) === 0 || (quantity.unit?.symbol !== found.quantity.unit?.symbol && quantitiesAgree(quantity, found.quantity) === true));
}
