/** Builds the results of a step: what selects each, what it proves, and its one way on. */
import { parseBand } from '../quantity/parse-band.ts';
import type { ScalarNode, TreeNode } from '../syntax/tree.ts';
import { keptByText } from '../text/kept-by-text.ts';
import { buildList } from './build-declarations.ts';
import { WAYS_ON } from './keys.ts';
import type { Result, StepKind, WayOn, When } from './model.ts';
import { reportExpressionProblems } from './read-expressions.ts';
import { readAssignments } from './read-states.ts';
import { readName, readNames, readText, readTrue } from './read-values.ts';
import { capital, describe, shown, spanInside, type Fields, type Reader } from './reader.ts';

/** What `when` says depends on its step. */
export interface ResultContext {
  readonly kind: StepKind | undefined;
  /** The step has `seek`: its results are found and not_found. */
  readonly seek: boolean;
  /** The step decides by a fact with choices. */
  readonly choices: boolean;
}

export function buildResults(step: Fields, context: ResultContext): Result[] {
  let count = 0;
  const begin = (item: TreeNode): string => {
    count++;
    const when = item.kind === 'map' ? item.entries.find((entry) => entry.key.text === 'when')?.value : undefined;
    return when?.kind === 'scalar' && when.text.trim() !== '' ? `the result '${shown(when.text, 32)}' of ${step.owner}` : `result ${count} of ${step.owner}`;
  };
  const results = buildList(step, 'results', 'result', begin, (fields, node) => buildResult(fields, node, context));
  reportSameWhen(step, results);
  return results;
}

function buildResult(fields: Fields, node: TreeNode, context: ResultContext): Result {
  fields.requireKeys({ start: node.span.start, end: Math.min(node.span.end, node.span.start + 1) });
  return {
    span: node.span, when: readWhen(fields, context), says: readText(fields, 'says'), rulesOut: readNames(fields, 'rules_out'),
    leaves: fields.has('leaves') ? readNames(fields, 'leaves') : undefined, sets: readAssignments(fields, 'sets'),
    raises: readName(fields, 'raises'), way: readWay(fields, node),
  };
}

/** The one way on; further ones are reported, and the first in the text stands. */
function readWay(fields: Fields, node: TreeNode): WayOn {
  const { reader } = fields;
  const ways = WAYS_ON.map((key) => wayOf(fields, key)).filter((way) => way !== undefined).sort((a, b) => a.span.start - b.span.start);
  const [first, ...others] = ways;
  if (first === undefined) return { kind: 'next', span: node.span };
  for (const other of others) {
    reader.report('wrong-kind', {
      span: fields.keySpan(other.kind) ?? other.span, message: `${capital(fields.owner)} goes two ways: '${first.kind}' and '${other.kind}'.`,
      help: 'Keep the one that is meant. Where it depends on something, make a result for each case.',
      related: [reader.related(first.span, `'${first.kind}' is here.`)],
    });
  }
  return first;
}

function wayOf(fields: Fields, key: (typeof WAYS_ON)[number]): WayOn | undefined {
  const span = fields.entry(key)?.span;
  if (span === undefined) return undefined;
  if (key === 'passes') return readTrue(fields, key) ? { kind: 'passes', span } : undefined;
  if (key === 'refer') {
    const text = readText(fields, key);
    return text === undefined ? undefined : { kind: 'refer', text, span };
  }
  const name = readName(fields, key);
  if (name === undefined) return undefined;
  return key === 'go' ? { kind: 'go', step: name, span } : { kind: key, fault: name, span };
}

function readWhen(fields: Fields, context: ResultContext): When | undefined {
  const node = fields.value('when');
  if (node === undefined) return undefined;
  if (node.kind !== 'scalar') {
    fields.reader.report('wrong-kind', {
      span: node.span, message: `'when' of ${fields.owner} is ${describe(node)}; one text is expected.`,
      help: node.kind === 'list' ? 'Make a result for each of them, or say it in one text.' : 'Put it in quotes if it holds a colon or a brace.',
    });
    return undefined;
  }
  const text = node.text.trim();
  const { span } = node;
  if (text === 'otherwise') return { kind: 'otherwise', text, span };
  if (context.seek) return seekWhen(fields, node, text);
  if (context.kind === 'run') return endingWhen(fields, node, text);
  if (context.kind === 'measure') return bandWhen(fields.reader, node, fields.owner);
  if (context.kind === 'decide') {
    return context.choices && !looksLikeBand(text) ? { kind: 'choice', text, span } : decideWhen(fields.reader, node, fields.owner);
  }
  return { kind: 'answer', text, span };
}

const bandIn = keptByText((text) => parseBand(text));

function bandWhen(reader: Reader, node: ScalarNode, owner: string): When {
  const parsed = bandIn(node.text);
  reportExpressionProblems(reader, node, parsed.problems, `'when' of ${owner}`);
  if (parsed.band?.kind === 'otherwise') return { kind: 'otherwise', text: node.text.trim(), span: node.span };
  return { kind: 'band', text: node.text, band: parsed.band, span: node.span, node };
}

/** A word alone is a choice of a fact that this file does not declare; anything else is a band. */
function decideWhen(reader: Reader, node: ScalarNode, owner: string): When {
  const text = node.text.trim();
  if (/^[a-z][a-z0-9_]*$/.test(text) && text !== 'open') return { kind: 'choice', text, span: node.span };
  return bandWhen(reader, node, owner);
}

function looksLikeBand(text: string): boolean {
  return /^(?:at least|at most|above|below|equal to|between)\b|^[<>=]/.test(text);
}

function seekWhen(fields: Fields, node: ScalarNode, text: string): When | undefined {
  const { span } = node;
  if (text === 'found' || text === 'not_found') return { kind: text, text, span };
  const near = /^not[ _-]?found$/i.test(text) ? 'not_found' : /^found$/i.test(text) ? 'found' : undefined;
  fields.reader.report('wrong-kind', {
    span, message: `'when' of ${fields.owner} is '${shown(text)}'; a step with 'seek' ends with 'found' or 'not_found'.`,
    help: near === undefined ? "Write 'found' or 'not_found'; the band belongs to 'seek'." : `Write '${near}'.`,
    fixes: near === undefined ? [] : [fields.reader.fix(`Change it to '${near}'`, span, near)],
  });
  return near === undefined ? undefined : { kind: near, text: near, span };
}

function endingWhen(fields: Fields, node: ScalarNode, text: string): When | undefined {
  const { span } = node;
  if (text === 'passed' || text === 'referred') return { kind: 'ending', text, ending: text, span };
  const fault = /^(finds|raised)\s+(\S+)$/.exec(text);
  if (fault !== null) {
    const [, ending = '', name = ''] = fault;
    const at = node.text.lastIndexOf(name);
    return {
      kind: 'ending', text, ending: ending as 'finds' | 'raised', span,
      fault: { value: name, span: spanInside(node, at, at + name.length) },
    };
  }
  const meant: Readonly<Record<string, string>> = { passes: 'passed', pass: 'passed', ok: 'passed', refer: 'referred', refers: 'referred' };
  const word = meant[text.toLowerCase()] ?? (/^(?:found|find)\s+[a-z]\w*$/.test(text) ? text.replace(/^\S+/, 'finds') : undefined);
  fields.reader.report('wrong-kind', {
    span, message: `'when' of ${fields.owner} is '${shown(text)}', which is no ending of a procedure.`,
    help: word === undefined
      ? "Write 'passed', 'referred', 'finds FAULT', 'raised FAULT' or 'otherwise'." : `Write '${word}'.`,
    fixes: word === undefined ? [] : [fields.reader.fix(`Change it to '${word}'`, span, word, true)],
  });
  return undefined;
}

/** Two results that the same words select. */
function reportSameWhen(step: Fields, results: readonly Result[]): void {
  const seen = new Map<string, When>();
  for (const { when } of results) {
    if (when === undefined) continue;
    const key = when.text.trim().toLowerCase().replace(/\s+/g, ' ');
    const earlier = seen.get(key);
    if (earlier === undefined) {
      seen.set(key, when);
      continue;
    }
    step.reader.report('duplicate-name', {
      span: when.span, message: `Two results of ${step.owner} have the same 'when': '${shown(when.text)}'.`,
      help: 'Delete one of them, or say what tells them apart.', related: [step.reader.related(earlier.span, 'The first one is here.')],
    });
  }
}
