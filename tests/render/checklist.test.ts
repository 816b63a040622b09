import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { renderChecklistHtml } from '../../server/src/render/checklist-html.ts';
import { renderChecklistMarkdown } from '../../server/src/render/checklist-markdown.ts';
import { printedChecklist } from '../../server/src/render/printed-checklist.ts';
import { BATTERY, checklistFrom, LIBRARY_NAMES, libraryChecklist, LIFT } from './depot.ts';

const FILES = { lift: LIFT, battery_test: BATTERY };

test('a checklist reads from the top as the work is done', () => {
  const text = renderChecklistMarkdown(checklistFrom(FILES, 'TL-07')).replace(/Content [0-9a-f]{64}/, 'Content HASH').replace(/\d+ errors stand/, 'N errors stand');
  expect(text).toMatchInlineSnapshot(`
    "# Platform does not rise

    lift · revision 3 · draft · Brackwater depot

    **This procedure is a draft. It has not been released for work.**

    **N errors stand against this procedure. It may be wrong or unsafe.**

    - **Complaint:** The platform stays down.
    - **Applies to:** equipment: tail lift

    - Asset: TL-07
    - Date and time: \\_\\_\\_\\_\\_\\_\\_\\_
    - Done by: \\_\\_\\_\\_\\_\\_\\_\\_
    - Second person: \\_\\_\\_\\_\\_\\_\\_\\_
    - Digital multimeter, number: \\_\\_\\_\\_\\_\\_\\_\\_

    ## Facts of the asset

    - Tilt sensor: ☐ fitted  ☐ not fitted
    - Coil low (from: Data sheet of the contactor): 18 ohm

    ## Possible faults

    Cross out what a result rules out.

    - F1 Battery discharged
    - F2 Control fuse open
    - F3 Contactor coil out of range

    ## Steps

    ### 1 Listen (2 people, about 1 min)

    > **DANGER** The platform moves while the control is held. A person under it will be crushed. Keep everyone out of the marked area. Wear: safety shoes. ☐ read

    Only while doing this: Control: raise, no longer than 5 s

    What do you hear while the raise control is held?

    - [ ] **Silent** (No sound.): Go on with step 2.
    - [ ] **Click** (One click.): Go on with step 2.
    - [ ] **Motor runs** (The motor runs.): Go to step 6.

    ### 2 Battery

    - [ ] Do the procedure: Condition of the battery (procedure B below). Then mark its ending here.

    - [ ] **Passed**: Go on with step 3.
    - [ ] **Finds: battery flat**: Fault: Battery discharged. Remedy: Charge the battery. Then go to step 8.
    - [ ] **Otherwise**: Repair the battery first. Then start again. The procedure ends here.

    ### 3 Supply

    Measure: DC voltage of lift power (nominal 24 V), with digital multimeter, range 60 V.

    Where: red: contactor input stud; black: battery negative post

    - Reading: \\_\\_\\_\\_\\_\\_\\_\\_ V

    - [ ] **At least 23.8 V (full rest - 1.5 V)**: Go on with step 4. Rules out F2.
    - [ ] **Otherwise**: Fault: Control fuse open. Remedy: Find the overload. Fit a fuse of the same rating. Then go to step 8.

    ### 4 Isolate

    - [ ] Turn the isolator off.
    - [ ] Lock it.

    Afterwards: Isolator: off

    ### 5 Coil

    Measure: Resistance of lift power, with digital multimeter.

    - Reading: \\_\\_\\_\\_\\_\\_\\_\\_ Ω

    - [ ] **At least 18 Ω (coil low)**: Go to step 1.
    - [ ] **Below 18 Ω (coil low)**: Fault: Contactor coil out of range (the only one left). Remedy: Replace the contactor. Then go to step 8.

    ### 6 Tilt

    Only if: Tilt sensor: fitted. Otherwise go on with step 7.

    Look up: tilt sensor (see the facts of the asset)

    - [ ] **Fitted**: Passed. The procedure ends here.
    - [ ] **Not fitted**: Passed. The procedure ends here.

    ### 7 Last

    Is it whole?

    - [ ] **Yes**: Passed. The procedure ends here.

    ## After the repair

    These steps prove the repair.

    ### 8 Prove

    Does the platform rise three times?

    - [ ] **Yes**: Passed. The procedure ends here.
    - [ ] **No**: Go to step 1.

    ## Procedure B: Condition of the battery

    Done where a step sends you here. Go back to that step when this procedure ends.

    Revision 7.

    ### B1 Rest

    Measure: DC voltage, with digital multimeter.

    - Left battery: \\_\\_\\_\\_\\_\\_\\_\\_ V
    - Right battery: \\_\\_\\_\\_\\_\\_\\_\\_ V
    - Lowest: \\_\\_\\_\\_\\_\\_\\_\\_ V

    - [ ] **At least 12.4 V**: Passed. Go back to the step that sent you here.
    - [ ] **Below 12.4 V**: Fault: Battery flat. Go back to the step that sent you here.

    ## Sign-off

    - Fault found: \\_\\_\\_\\_\\_\\_\\_\\_
    - Remedy: \\_\\_\\_\\_\\_\\_\\_\\_
    - Notes: \\_\\_\\_\\_\\_\\_\\_\\_
    - Repair proved: ☐ yes  ☐ no
    - May be used: ☐ yes  ☐ no
    - Name: \\_\\_\\_\\_\\_\\_\\_\\_
    - Signature: \\_\\_\\_\\_\\_\\_\\_\\_
    - Date and time: \\_\\_\\_\\_\\_\\_\\_\\_

    ## Before you rely on this

    - Follow the maker's data, local codes and the rules of the shop. Where they differ from this checklist, they hold.
    - Work on high voltage, refrigerant, gas, brakes and restraint systems is for qualified people.
    - A clean check does not make a procedure safe by itself. Stop where something is not as it is described here.

    Content HASH
    "
  `);
});

describe('every step of every procedure of the library', () => {
  test.each(LIBRARY_NAMES)('%s: cautions first, then what must be so, the work, the field, the results, what follows', (name) => {
    const document = libraryChecklist(name);
    const html = renderChecklistHtml(document);
    const steps = html.split('<section class="step"').slice(1).map((part) => part.slice(0, part.indexOf('</section>')));
    const sheets = printedChecklist(document).parts.flatMap((part) => part.steps);
    expect(steps).toHaveLength(sheets.length);
    steps.forEach((step, index) => {
      const sheet = sheets[index];
      expect(step.match(/class="safety /g) ?? []).toHaveLength(sheet?.cautions.length ?? 0);
      const order = ['class="safety ', 'class="action', 'class="fields"', 'class="results"'].map((part) => [step.indexOf(part), step.lastIndexOf(part)] as const).filter(([at]) => at >= 0);
      order.slice(1).forEach(([first], at) => expect(first).toBeGreaterThan(order[at]?.[1] ?? -1));
    });
  });

  test.each(LIBRARY_NAMES)('%s: a step that is named in a way on is on the sheets', (name) => {
    const text = renderChecklistMarkdown(libraryChecklist(name));
    const numbers = new Set([...text.matchAll(/^### (\S+) /gm)].map((match) => match[1]));
    const named = [...text.matchAll(/step ([A-Z]*\d+)/g)].map((match) => match[1]);
    expect(named.length).toBeGreaterThan(0);
    for (const number of named) expect(numbers).toContain(number);
  });
});

test('what is known of the asset is filled in, what is not is a blank with its unit', () => {
  const known = printedChecklist(checklistFrom(FILES, 'TL-07'));
  const unknown = printedChecklist(checklistFrom(FILES));
  const coil = (sheet: typeof known) => sheet.facts.find(({ label }) => label.startsWith('Coil low'));
  expect(coil(known)).toMatchObject({ given: '18 ohm' });
  expect(coil(unknown)).toEqual({ label: 'Coil low (from: Data sheet of the contactor)', unit: expect.stringMatching(/ohm|Ω/) });
  expect(known.fields[0]).toEqual({ label: 'Asset', given: 'TL-07' });
  expect(unknown.fields[0]).toEqual({ label: 'Asset' });
});

test('a limit says what its names stand for', () => {
  const steps = printedChecklist(checklistFrom(FILES, 'TL-07')).parts[0]?.steps;
  // With its value, where that is known before the work begins.
  expect(steps?.[4]?.results[0]).toMatchObject({ when: 'At least 18\u202fΩ (coil low)', notes: [] });
  expect(steps?.[2]?.results[0]).toMatchObject({ when: 'At least 23.8\u202fV (full rest - 1.5 V)', notes: [] });
  const without = printedChecklist(checklistFrom(FILES)).parts[0]?.steps;
  expect(without?.[4]?.results[0]).toMatchObject({ when: 'At least coil low', notes: ['coil low: see the facts of the asset'] });
  const lift = printedChecklist(libraryChecklist('tail_lift_no_raise')).parts[0]?.steps.find(({ title }) => title === 'Coil signal');
  expect(lift?.results[0]?.notes).toEqual(['supply = reading of step 9']);
});

describe('a limit that is computed from a reading', () => {
  const table = (name: string, title: string, language: 'en' | 'de' = 'en') =>
    printedChecklist(libraryChecklist(name), { language }).parts.flatMap((part) => part.steps).find((step) => step.title === title)?.details.find(({ text }) => text.includes(' · '));

  test('comes with a table: least volts of a 12 V battery under load, Battery Council International (from memory): 9.4 V at 50 °F, 9.6 V from 70 °F', () => {
    const { label, text } = table('battery_condition', 'Load voltage') ?? { label: '', text: '' };
    expect(label).toBe('Load test minimum (battery temperature), by the reading of step 6'.replace('6', '5'));
    // 50 °F is 10 °C; 25 °C is above 70 °F.
    expect(text).toContain('10\u202f°C:\u00a09.40\u202fV');
    expect(text).toContain('25\u202f°C:\u00a09.60\u202fV');
    expect(text).toContain('\u221215\u202f°C:\u00a08.60\u202fV');
  });

  test('or from the data of an asset: 100 Ω for each volt, ISO 6469-3 (from memory): 40 kΩ at 400 V', () => {
    expect(table('insulation_warning', 'Whole system')).toMatchObject({ label: 'Isolation minimum dc (traction voltage), by the facts of the asset', text: expect.stringContaining('400\u202fV:\u00a00.0400\u202fMΩ') as string });
    expect(table('insulation_warning', 'Whole system', 'de')?.text).toContain('400\u202fV:\u00a00,0400\u202fMΩ');
  });

  test('is not tabled where anyone works it out on the margin', () => {
    expect(table('tail_lift_no_raise', 'Coil signal')).toBeUndefined();
  });
});

test('the blank has the unit of the limit, also where the limit has a name', () => {
  const steps = printedChecklist(libraryChecklist('daily_walk_round')).parts.flatMap((part) => part.steps);
  const air = steps.find(({ title }) => title === 'Air warning');
  expect(air?.results[0]?.when).toContain('60\u202fpsi');
  expect(air?.entries[0]?.unit).toBe('psi');
});

test('faults have marks, and results say which to cross out', () => {
  const sheet = printedChecklist(libraryChecklist('tail_lift_no_raise'));
  expect(sheet.faults[1]).toBe('F2 Oil level too low');
  const step = sheet.parts[0]?.steps.find(({ title }) => title === 'Oil level');
  expect(step?.results.map(({ faults }) => faults)).toEqual(['Rules out F2.', undefined]);
  expect(printedChecklist(libraryChecklist('daily_walk_round')).faults).toEqual([]);
});

test('states that a step wants are ticked before it, and how to bring them about stands at the end with its cautions', () => {
  const sheet = printedChecklist(libraryChecklist('tail_lift_no_raise'));
  const step = sheet.parts[0]?.steps.find(({ title }) => title === 'Listen');
  expect(step?.before[0]).toMatchObject({ label: 'Before', boxes: ['Battery isolator, or main isolator of a machine: on', 'Platform of the tail lift: grounded'] });
  expect(sheet.states.find(({ state }) => state === 'Platform of the tail lift: grounded')).toMatchObject({ actions: ['Lower the platform to the ground.'], cautions: [{ signal: 'danger' }] });
  expect(sheet.left).toContain('Platform of the tail lift: stowed or grounded');
  const html = renderChecklistHtml(libraryChecklist('tail_lift_no_raise'));
  const change = html.slice(html.lastIndexOf('<section class="change">', html.indexOf('Lower the platform to the ground.', html.indexOf('How to bring a state about'))));
  expect(change.indexOf('DANGER')).toBeLessThan(change.indexOf('Lower the platform'));
});

describe('on every sheet', () => {
  const head = (html: string): string => html.slice(html.indexOf('<thead>'), html.indexOf('</thead>'));

  test('that it is a draft', () => {
    expect(head(renderChecklistHtml(checklistFrom(FILES)))).toMatch(/draft/i);
    expect(renderChecklistMarkdown(checklistFrom(FILES))).toMatch(/\*\*.*draft.*\*\*/i);
  });

  test('that it is withdrawn, or has errors', () => {
    expect(head(renderChecklistHtml(checklistFrom({ ...FILES, lift: LIFT.replace('status: draft', 'status: withdrawn') })))).toMatch(/withdrawn/i);
    const broken = checklistFrom({ lift: LIFT.replace('go: tilt', 'go: nowhere_known') });
    expect(head(renderChecklistHtml(broken))).toMatch(/\d+ errors? stands? against this procedure/);
  });

  test('for whose work it is: a sheet that lies alone is found again', () => {
    expect(head(renderChecklistHtml(checklistFrom(FILES, 'TL-07')))).toMatch(/Asset<\/span><span class="given">TL-07.*Date.*Initials/s);
  });

  test('title, revision and page, through @page', () => {
    const html = renderChecklistHtml(checklistFrom(FILES));
    expect(html).toMatch(/@bottom-left \{ content: "Platform does not rise \\?b?7? ?·? ?revision 3"/);
    expect(html).toContain('"Page " counter(page) " of " counter(pages)');
  });
});

test('accepted deviations are listed with reason and name, and the limits of the tool come last', () => {
  const accepted = checklistFrom({ ...FILES, lift: `${LIFT}accept:\n  - {check: fault-never-found, because: Kept for the record., by: Reviewer B}\n` });
  const sheet = printedChecklist({ ...accepted, standing: { ...accepted.standing, accepted: [{ check: 'vague-word', at: 'listen', message: 'Vague.', because: "The maker's own words.", by: 'Reviewer B' }] } });
  expect(sheet.accepted).toEqual(["vague-word at listen: Vague. Accepted because: The maker's own words (Reviewer B)."]);
  const html = renderChecklistHtml(accepted);
  for (const closing of accepted.closing) expect(html).toContain(closing.replaceAll("'", '&#39;'));
  expect(html.indexOf('Before you rely on this')).toBeGreaterThan(html.indexOf('Sign-off'));
  expect(accepted.closing.join(' ')).toMatch(/local codes/);
});

test('an inspection asks for its verdict, and records defects with their grade', () => {
  const sheet = printedChecklist(libraryChecklist('daily_walk_round'));
  expect(sheet.signOff.map(({ label }) => label)).toContain('Defects');
  // What may be driven or used, by the worst grade: dangerous, major and minor as in Directive 2014/45/EU (from memory).
  expect(sheet.verdicts.map(({ when, then }) => `${when}: ${then}`)).toEqual([
    'No defect: None found by this inspection. It speaks of what it looked at, and of nothing else.',
    'Minor defects only: The asset may be used; repair is due.',
    'A major defect, or one without a grade: The asset is not to be used or driven until it is repaired.',
    'A dangerous defect: The asset must not be used or driven until it is repaired.',
    'Not gone through to its end: It does not show that the asset is safe to use or to work on.',
  ]);
  expect(printedChecklist(libraryChecklist('tail_lift_no_raise')).verdicts).toEqual([]);
  // It raises nothing: nobody is told that a machine with open high voltage may be used.
  expect(printedChecklist(libraryChecklist('isolate_high_voltage')).verdicts.map(({ when }) => when)).toEqual(['No defect', 'Not gone through to its end']);
  expect(sheet.parts.flatMap((part) => part.steps).flatMap((step) => step.results).map(({ then }) => then).join(' ')).toMatch(/Record the defect: .* \((minor|major|dangerous)\)/);
});

describe('as HTML', () => {
  test('the content policy allows the style of the page and nothing else', () => {
    const html = renderChecklistHtml(checklistFrom(FILES));
    const style = /<style>([\s\S]*?)<\/style>/.exec(html)?.[1] ?? '';
    const hash = createHash('sha256').update(style, 'utf8').digest('base64');
    expect(html).toContain(`content="default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'"`);
    expect(html).not.toMatch(/<script|<img|<link| style=| on[a-z]+=/);
  });

  test('nothing a writer wrote becomes markup or style', () => {
    const hostile = `</style><script>alert(1)</script>"; } * { display: none } \u202e`;
    const quoted = JSON.stringify(hostile);
    const html = renderChecklistHtml(checklistFrom({ ...FILES, lift: LIFT.replace('Platform does not rise', quoted).replace('revision: 3', `revision: ${quoted}`).replace('Lock it.', quoted).replace('No sound.', quoted) }));
    expect(html.match(/<\/style>/g)).toHaveLength(1);
    expect(html).not.toContain('<script');
    expect(html).not.toContain('\u202e');
    const style = /<style>([\s\S]*?)<\/style>/.exec(html)?.[1] ?? '';
    expect(style).not.toMatch(/display: none/);
  });
});

test('as Markdown, what a writer wrote stays text', () => {
  const text = renderChecklistMarkdown(checklistFrom({ ...FILES, lift: LIFT.replace('Lock it.', JSON.stringify('# Not a heading\n- [x] <b>done</b> [link](javascript:x) `code` *strong*')) }));
  expect(text).toContain('\\# Not a heading - \\[x\\] \\<b\\>done\\</b\\> \\[link\\](javascript:x) \\`code\\` \\*strong\\*');
});

test('what is compared says at which steps it was read', () => {
  const compared = (language: 'en' | 'de') => printedChecklist(libraryChecklist('charging'), { language }).parts.flatMap((part) => part.steps)
    .flatMap((step) => step.actions.map(({ text }) => text)).filter((text) => /^(Compare|Vergleichen): /.test(text)).slice(0, 2);
  expect(compared('en')).toEqual([
    'Compare: the highest of (charge voltage, loaded voltage) (charge voltage = reading of step 5, loaded voltage = reading of step 6)',
    'Compare: feed drop (= reading of step 7)',
  ]);
  expect(compared('de')[1]).toBe('Vergleichen: feed drop (= Messwert von Schritt 7)');
});
