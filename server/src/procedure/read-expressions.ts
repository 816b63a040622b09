/** Reads bands and expressions of one line, and puts their problems at their places in the file. */
import { parseBand, parseExpression } from '../quantity/parse-band.ts';
import type { ScalarNode, TreeNode } from '../syntax/tree.ts';
import type { Step } from './model.ts';
import { checkOfQuantityProblem } from './read-values.ts';
import { describe, spanInside, type Fields, type Reader } from './reader.ts';

/** `decide`: an expression, or the name of a fact alone. */
export function readDecide(fields: Fields): Step['decide'] {
  const node = fields.value('decide');
  if (node === undefined) return undefined;
  if (node.kind !== 'scalar') {
    reportNotOneLine(fields, 'decide', node, 'an expression, or the name of a fact');
    return undefined;
  }
  const parsed = parseExpression(node.text);
  reportExpressionProblems(fields.reader, node, parsed.problems, `'decide' of ${fields.owner}`);
  return { text: node.text, expression: parsed.expression, span: node.span, node };
}

/** `seek`: the band that a point is sought for. */
export function readSeek(fields: Fields): Step['seek'] {
  const node = fields.value('seek');
  if (node === undefined) return undefined;
  if (node.kind !== 'scalar') {
    reportNotOneLine(fields, 'seek', node, "a band such as 'below 0.1 A'");
    return undefined;
  }
  const parsed = parseBand(node.text);
  reportExpressionProblems(fields.reader, node, parsed.problems, `'seek' of ${fields.owner}`);
  return { text: node.text, band: parsed.band, span: node.span, node };
}

function reportNotOneLine(fields: Fields, key: string, node: TreeNode, expected: string): void {
  fields.reader.report('wrong-kind', {
    span: node.span, message: `'${key}' of ${fields.owner} is ${describe(node)}; ${expected} is expected.`, help: 'Write it on one line.',
  });
}

/** Problems of a band or an expression, at their places in the file. */
export function reportExpressionProblems(
  reader: Reader, node: ScalarNode, problems: ReturnType<typeof parseBand>['problems'], owner: string,
): void {
  for (const problem of problems) {
    const span = spanInside(node, problem.span.start, problem.span.end);
    const words = problem.choices ?? (problem.near === undefined ? [] : [problem.near]);
    reader.report(checkOfQuantityProblem(problem.kind), {
      span, message: problem.message, note: `It stands in ${owner}.`, help: problem.help,
      fixes: words.map((word) => reader.fix(`Change it to '${word}'`, span, word, true)),
    });
  }
}

