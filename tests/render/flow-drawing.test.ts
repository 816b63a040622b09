import { describe, expect, test } from 'vitest';
import type { FlowDrawing } from '../../server/src/render/flow-drawing.ts';
import { layoutFlow } from '../../server/src/render/flow-layout.ts';
import { renderFlowSvg } from '../../server/src/render/flow-svg.ts';
import { drawingFrom, LIBRARY_NAMES, libraryDrawing, LIFT, longProcedure } from './depot.ts';
import { geometryFaults } from './flow-geometry.ts';
import { readXml } from './read-xml.ts';

/** The drawing as lines that a person can review. */
function outline(drawing: FlowDrawing): string {
  const name = (id: string): string => {
    const node = drawing.nodes.find((one) => one.id === id);
    return node?.step ?? `(${node?.lines.join(' ') ?? id})`;
  };
  return [
    ...drawing.nodes.map(({ symbol, number, step, signal, ending, band, lines, details }) =>
      [`${symbol}${ending ? ` ${ending}` : ''}`, step && `${number ?? ''} ${step}`, signal?.toUpperCase(), band && `[${band}]`, lines.join(' / '), details.length > 0 ? `(${details.join('; ')})` : ''].filter(Boolean).join(' | ')),
    '',
    ...drawing.edges.map(({ from, to, labels, course, passedOver }) => `${course}: ${name(from)} → ${name(to)}${labels.length > 0 ? ` on ${labels.join(' or ')}` : ''}${passedOver ? ' (passed over)' : ''}`),
  ].join('\n');
}

test('symbols, words and ways of a procedure', () => {
  expect(outline(drawingFrom(LIFT))).toMatchInlineSnapshot(`
    "terminator start | The platform stays down.
    decision | 1 listen | DANGER | What do you hear while the raise control is held?
    predefined | 2 battery | Battery test
    terminator finds | Battery discharged
    terminator refer | Repair the battery first. Then start again.
    measure | 3 supply | [DC voltage · Digital multimeter] | Supply | (red: contactor input stud; black: battery negative post)
    terminator finds | Control fuse open
    process | 4 isolate | Turn the isolator off. / Lock it.
    measure | 5 coil | [Resistance · Digital multimeter] | Coil
    terminator finds | Contactor coil out of range | (by elimination: the only one left)
    decision | 6 tilt | tilt sensor? | (Only if tilt sensor: fitted)
    terminator passes | Passed
    decision | 7 last | Is it whole?
    terminator passes | Passed
    terminator start | After the repair
    decision | 8 prove | Does the platform rise three times?
    terminator passes | Passed

    main: (The platform stays down.) → listen
    main: listen → battery on No sound. or One click.
    off: listen → tilt on The motor runs.
    main: battery → supply on passed
    off: battery → (Battery discharged) on finds flat
    off: battery → (Repair the battery first. Then start again.) on otherwise
    main: supply → isolate on at least full_rest - 1.5 V
    off: supply → (Control fuse open) on otherwise
    main: isolate → coil
    back: coil → listen on at least coil_low
    off: coil → (Contactor coil out of range) on below coil_low
    off: tilt → (Passed) on fitted or not fitted
    main: tilt → last on passed over (passed over)
    off: last → (Passed) on yes
    main: (After the repair) → prove
    off: prove → (Passed) on yes
    back: prove → listen on no"
  `);
});

test('a broken procedure is drawn as far as it goes', () => {
  const drawing = drawingFrom('procedure: x\nsteps:\n  - step: one\n  - ask: Is it?\n    results:\n      - when: yes\n        go: nowhere_known\n  - step: one\n    do: [Stop.]\n');
  expect(outline(drawing)).toMatchInlineSnapshot(`
    "terminator start | x
    process | 1 one | One
    decision | 2 step 2 | Is it?
    terminator nowhere | Leads nowhere
    process | 3 one | Stop.
    terminator nowhere | Leads nowhere

    main: (x) → one
    main: one → step 2
    off: step 2 → (Leads nowhere) on yes
    off: one → (Leads nowhere)"
  `);
});

test('a text without steps gives an empty drawing', async () => {
  const layout = await layoutFlow(drawingFrom('procedure: x\n'));
  expect(layout.nodes).toEqual([]);
  expect(readXml(renderFlowSvg(layout)).name).toBe('svg');
});

describe('no symbol, word or line lies over another, the column is straight, ways off go right and ways back left', () => {
  test.each([...LIBRARY_NAMES])('%s', async (name) => {
    expect(geometryFaults(await layoutFlow(libraryDrawing(name)))).toEqual([]);
  });
  test.each([1, 2, 3, 9, 30, 60, 120])('a procedure of %i steps', async (count) => {
    expect(geometryFaults(await layoutFlow(drawingFrom(longProcedure(count))))).toEqual([]);
  });
  test('one of each kind of step', async () => {
    expect(geometryFaults(await layoutFlow(drawingFrom(LIFT)))).toEqual([]);
  });
  test('very long names and texts', async () => {
    const long = LIFT.replaceAll('listen', `listen_${'and_listen_again_'.repeat(6)}end`).replace('No sound.', 'No sound at all, '.repeat(20)).replace('Lock it.', `${'Hold'.repeat(60)} it.`);
    expect(geometryFaults(await layoutFlow(drawingFrom(long)))).toEqual([]);
  });
});

describe('the faults that are still possible at each step', () => {
  const said = async (name: string) => {
    const svg = readXml(renderFlowSvg(await layoutFlow(libraryDrawing(name, true))));
    return new Map(svg.all('g').filter(({ attributes }) => 'data-step' in attributes).map((group) =>
      [group.attributes['data-step'], { shown: group.all('text').filter(({ attributes }) => attributes['class'] === 'open').map(({ text }) => text).join(' '), spoken: group.attributes['aria-label'] ?? '' }]));
  };

  test('stand above it by letter, are read out by title, and the letters are explained below', async () => {
    const steps = await said('air_pressure');
    expect(steps.get('warning_pressure')?.shown).toBe('all 6 faults left');
    expect(steps.get('judge_governor')?.shown).toBe('3 of 6 left: C D E');
    expect(steps.get('judge_governor')?.spoken).toContain('Still possible here: Governor out of adjustment, Intake filter of the compressor blocked, Compressor worn.');
    expect(steps.get('proof_build_up')?.shown).toBe('');
    const legend = readXml(renderFlowSvg(await layoutFlow(libraryDrawing('air_pressure', true)))).all('text').filter(({ attributes }) => attributes['class'] === 'legend').map(({ text }) => text);
    expect(legend.slice(1)).toEqual([
      'A\u2002Leak with the brakes released', 'B\u2002Leak in a brake chamber or the foot valve', 'C\u2002Governor out of adjustment',
      'D\u2002Intake filter of the compressor blocked', 'E\u2002Compressor worn', 'F\u2002Low-air warning comes too late',
    ]);
  });

  test('a step to which one fault is left says so', async () => expect((await said('charging')).get('judge_output')?.shown).toBe('only F left'));

  test.each([...LIBRARY_NAMES])('%s: nothing lies over another, and every step of the search has them', async (name) => {
    const drawing = libraryDrawing(name, true);
    expect(geometryFaults(await layoutFlow(drawing))).toEqual([]);
    const search = drawing.faults !== undefined;
    for (const node of drawing.nodes) if (node.open) expect(node.open.letters.length).toBeLessThanOrEqual(drawing.faults?.length ?? 0);
    expect(drawing.nodes.some((node) => node.open !== undefined)).toBe(search);
  });

  test('an inspection, and a drawing that was not asked for them, shows none', () => {
    expect(libraryDrawing('daily_walk_round', true).faults).toBeUndefined();
    expect(libraryDrawing('air_pressure').nodes.some((node) => node.open !== undefined)).toBe(false);
  });
});

test('the rules of the geometry can fail', async () => {
  const layout = await layoutFlow(drawingFrom(LIFT));
  const moved = { ...layout, nodes: layout.nodes.map((node) => (node.node.id === 'step-2' ? { ...node, x: node.x + 15, y: node.y + 120 } : node)) };
  const faults = geometryFaults(moved).join(' ');
  expect(faults).toMatch(/is not straight below/);
  expect(faults).toMatch(/lies over/);
  expect(faults).toMatch(/runs through/);
});

test('steps that did not change keep their place when one is added at the end', async () => {
  const places = async (text: string) => new Map((await layoutFlow(drawingFrom(text))).nodes.map((node) => [node.node.id, { x: node.x, y: node.y }]));
  const before = await places(longProcedure(30));
  const after = await places(`${longProcedure(30)}  - step: more\n    do: [Stop.]\n`);
  for (const [id, place] of before) expect(after.get(id), id).toEqual(place);
});

test('the drawing is the same each time', async () => {
  const draw = async () => renderFlowSvg(await layoutFlow(drawingFrom(longProcedure(20))));
  expect(await draw()).toBe(await draw());
});

describe('as SVG', () => {
  test('the text, to be looked at', async () => {
    const small = LIFT.slice(0, LIFT.indexOf('  - step: battery')).replace('go: tilt', 'finds: contactor').replace("- {when: click, says: One click.}\n", '- {when: click, says: One click., finds: open_fuse}\n').replace('says: No sound.}', 'says: No sound., passes: true}');
    await expect(renderFlowSvg(await layoutFlow(drawingFrom(small)))).toMatchFileSnapshot('snapshots/small-flow.svg');
  });

  test('each step is a group with its name, a spoken description, and can be reached by keyboard', async () => {
    const svg = readXml(renderFlowSvg(await layoutFlow(drawingFrom(LIFT))));
    const steps = svg.all('g').filter(({ attributes }) => 'data-step' in attributes);
    expect(steps.map(({ attributes }) => attributes['data-step'])).toEqual(['listen', 'battery', 'supply', 'isolate', 'coil', 'tilt', 'last', 'prove']);
    expect(steps[0]?.attributes).toMatchObject({ tabindex: '0', role: 'graphics-symbol img' });
    expect(steps[0]?.attributes['aria-label']).toBe(
      'Step 1, listen. DANGER. Question: What do you hear while the raise control is held? No sound., or One click.: step 2, battery The motor runs.: step 6, tilt',
    );
    expect(svg.all('title')[0]?.text).toBe('Platform does not rise: flow');
    expect(svg.attributes['role']).toBe('graphics-document document');
  });

  test('nothing a writer wrote becomes markup', async () => {
    const hostile = `<script>alert(1)</script>" onload="x" \u202e &amp; ]]>`;
    const text = LIFT.replace('No sound.', JSON.stringify(hostile)).replace('Platform does not rise', JSON.stringify(hostile)).replace('Turn the isolator off.', JSON.stringify(hostile));
    const svg = readXml(renderFlowSvg(await layoutFlow(drawingFrom(text))));
    expect(svg.all('script')).toEqual([]);
    expect(svg.attributes['onload']).toBeUndefined();
    const said = svg.all('text').map((element) => element.text).join(' ');
    expect(said).toContain('<script>alert(1)</script>');
    expect(said).not.toContain('\u202e');
  });

  test('a number keeps its unit on its line', async () => {
    const svg = readXml(renderFlowSvg(await layoutFlow(drawingFrom(LIFT))));
    expect(svg.all('text').map((element) => element.text).join('\n')).toContain('1.5\u202fV');
  });

  test('the style can come from the page', async () => {
    const layout = await layoutFlow(drawingFrom(LIFT));
    expect(renderFlowSvg(layout)).toContain('<style>');
    expect(renderFlowSvg(layout, { embedStyle: false })).not.toContain('<style>');
  });
});
