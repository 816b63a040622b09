/** From text to model: what is read of the whole example, and what is still read when a part of it is broken. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { buildAssets } from '../../server/src/procedure/build-assets.ts';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { buildShop } from '../../server/src/procedure/build-shop.ts';
import { renderProblems } from './render-problems.ts';

const read = (name: string): string => readFileSync(new URL(`fixtures/${name}`, import.meta.url), 'utf8');
const text = read('tail-lift-no-raise.procedure.yaml');

/** The model without places, as a reviewer can read it. */
function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value === 'bigint') return value.toString();
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).filter(([key, item]) => item !== undefined && !(Array.isArray(item) && item.length === 0) && !/^(?:node|kindSpan|\w*[sS]pan)$/.test(key));
  const record = Object.fromEntries(entries);
  if ('numerator' in record && 'denominator' in record) return `${String(record.numerator)}/${String(record.denominator)}`;
  if ('value' in record && entries.length === 1) return plain(record.value);
  if ('base' in record && 'text' in record) return record.text;
  return Object.fromEntries(entries.map(([key, item]) => [key, plain(item)]));
}

describe('the example of the format reference', () => {
  const { procedure } = buildProcedure('tail-lift.procedure.yaml', text);

  test('has no problems', () => {
    expect(renderProblems(text, procedure.problems)).toBe('');
  });

  test('is read whole', async () => {
    await expect(`${JSON.stringify(plain(procedure), null, 1)}\n`).toMatchFileSnapshot('tail-lift.model.json');
  });

  test('says what a YAML library reads: names, texts, ways on', () => {
    const data = parse(text) as { steps: Record<string, unknown>[]; faults: Record<string, Record<string, unknown>>; title: string };
    expect(procedure.title?.value).toBe(data.title);
    expect(procedure.faults.map((fault) => [fault.name.value, fault.title?.value, fault.weight?.value])).toEqual(
      Object.entries(data.faults).map(([name, fault]) => [name, fault['title'], fault['weight']]),
    );
    expect(procedure.steps.map((step) => [step.name?.value, step.question?.value, step.people?.value, step.why?.value])).toEqual(
      data.steps.map((step) => [step['step'], step['ask'], step['people'], step['why']]),
    );
    for (const [index, step] of procedure.steps.entries()) {
      const results = (data.steps[index]?.['results'] ?? []) as Record<string, unknown>[];
      expect(step.results.map((result) => (result.way.kind === 'next' ? undefined : result.way.kind))).toEqual(
        results.map((result) => ['go', 'finds', 'by_elimination', 'refer', 'passes'].find((key) => key in result)),
      );
      expect(step.results.map((result) => result.when?.text)).toEqual(results.map((result) => result['when']));
    }
  });

  test('gives every name and text its place', () => {
    let count = 0;
    const walk = (value: unknown): void => {
      if (Array.isArray(value)) return value.forEach(walk);
      if (typeof value !== 'object' || value === null) return;
      const at = value as { value?: unknown; span?: { start: number; end: number }; node?: { style: string } };
      if (typeof at.value === 'string' && at.span !== undefined && (at.node === undefined || at.node.style === 'plain')) {
        expect(text.slice(at.span.start, at.span.end).replace(/\s*\n\s*/g, ' ')).toBe(at.value);
        count++;
      }
      for (const [key, item] of Object.entries(value)) if (key !== 'node') walk(item);
    };
    walk(procedure);
    expect(count).toBeGreaterThan(190);
  });

  test('reads the shop file and the assets beside it', () => {
    const { shop } = buildShop('shop.yaml', read('shop.yaml'));
    expect(renderProblems(read('shop.yaml'), shop.problems)).toBe('');
    expect(shop.states.map((state) => state.name.value)).toEqual(['isolator', 'control', 'platform']);
    expect(shop.instruments.find((each) => each.name.value === 'multimeter')?.measures.map((each) => each.resolution?.value.text)).toEqual(['0.01 V', '0.1 ohm']);
    expect(shop.hazards[0]?.arisesFrom.during.map((conditions) => conditions.map((each) => [each.state.value, each.values.map((value) => value.value)]))).toEqual([[['control', ['raise', 'lower']]]]);
    const { assets } = buildAssets('assets.yaml', read('assets.yaml'));
    expect(assets.problems).toEqual([]);
    expect(assets.assets[0]?.facts.map((fact) => [fact.name.value, fact.value.value])).toContainEqual(['coil_low', '18 ohm']);
  });
});

describe('the written form counts', () => {
  const valueOf = (line: string): string | undefined => buildProcedure('f', `procedure: x\ntitle: X\n${line}\nsteps: []\n`).procedure.revision?.value;
  test.each([['1.10', '1.10'], ['007', '007'], ['0x1F', '0x1F'], ['yes', 'yes'], ["'4'", '4'], ['2026-10-30', '2026-10-30'], ['1e3', '1e3']])('revision: %s', (written, expected) => {
    expect(valueOf(`revision: ${written}`)).toBe(expected);
  });
});

describe('one broken step does not lose the others', () => {
  const { procedure } = buildProcedure('f', text);
  const damages: Record<string, (step: string) => string> = {
    'an unclosed brace': (step) => `${step.trimEnd()}\n    needs: {isolator: on\n`,
    'an unclosed quotation mark': (step) => `${step.trimEnd()}\n    text: "Look\n`,
    'a line of rubbish': (step) => `${step.trimEnd()}\n    ]]} : - {{ : ?\n`,
    'a tab': (step) => `${step.trimEnd()}\n\ttime: 3 min\n`,
    'a colon in a text': (step) => `${step.trimEnd()}\n    note: Mind: it is hot: very.\n`,
    'a comparison sign': (step) => step.replace(/when: .*/, 'when: >= 12 V'),
    'a wrong indentation': (step) => step.replace(/\n {4}(\w+):/, '\n       $1:'),
    'a lost dash': (step) => step.replace('  - step', '    step'),
    'an alias that names nothing': (step) => `${step.trimEnd()}\n    text: *nothing here\n`,
    'a word alone': (step) => `${step.trimEnd()}\n    word\n`,
    'half a step': (step) => step.slice(0, Math.floor(step.length / 2)).trimEnd() + '\n',
  };
  const starts = [...text.matchAll(/^ {2}- step: (\w+)$/gm)];
  const all = [...procedure.steps, ...procedure.afterRepair];
  test.each(Object.keys(damages))('%s in any step', (name) => {
    for (const [index, match] of starts.entries()) {
      const next = starts[index + 1]?.index ?? text.length;
      const end = text.slice(match.index, next).search(/\n(?=\w)/) < 0 ? next : match.index + text.slice(match.index, next).search(/\n(?=\w)/) + 1;
      const step = text.slice(match.index, end);
      const broken = text.slice(0, match.index) + (damages[name]?.(step) ?? '') + text.slice(end);
      const rebuilt = buildProcedure('f', broken).procedure;
      const others = [...rebuilt.steps, ...rebuilt.afterRepair].filter((each) => each.name?.value !== match[1]);
      const expected = all.filter((each) => each.name?.value !== match[1]);
      expect(plain(others), `${name} in ${match[1] ?? ''}`).toEqual(plain(expected));
      if (name === 'a lost dash') expect([...rebuilt.steps, ...rebuilt.afterRepair].map((each) => each.name?.value)).toEqual(all.map((each) => each.name?.value));
      if (!/comparison|half/.test(name)) expect(rebuilt.problems.length).toBeGreaterThan(0);
      expect(rebuilt.faults).toHaveLength(procedure.faults.length);
    }
  });
});

describe('what is left out is not made up', () => {
  test('an empty file is a procedure with nothing in it', () => {
    const { procedure, tree } = buildProcedure('f', '');
    expect(tree).toBeUndefined();
    expect(procedure.problems.map((problem) => problem.message)).toEqual([
      "The procedure has no 'procedure'.", "The procedure has no 'title'.", "The procedure has no 'steps'.",
    ]);
    expect(procedure.steps).toEqual([]);
  });
  test('a list in place of a procedure is reported once', () => {
    const { procedure } = buildProcedure('f', '- a\n- b\n');
    expect(procedure.problems.map((problem) => [problem.check, problem.message])).toEqual([['wrong-kind', 'The procedure is a list; a map of keys is expected.']]);
  });
});
