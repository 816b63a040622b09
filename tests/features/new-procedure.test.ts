/** The skeleton of a new procedure is clean whatever is answered: every combination of choices, in every shop there is. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import {
  countQuestions,
  newProcedure,
  nextQuestion,
  placeIn,
  problemWith,
  type Answers,
  type NewPlace,
} from '../../server/src/features/new-procedure.ts';
import { formatFile, readForFormatting } from '../../server/src/features/format.ts';

const ROOT = join(import.meta.dirname, '../..');
const SHOPS = ['none', 'procedures', ...['imperial', 'mains', 'traction', 'yard'].map((name) => `tests/corpus/clean/${name}`)];

function placeOf(shop: string): NewPlace {
  const workspace = new Workspace();
  for (const name of ['shop.yaml', 'assets.yaml']) {
    const path = join(ROOT, shop, name);
    if (shop !== 'none' && existsSync(path)) workspace.setFile(`${shop}/${name}`, readFileSync(path, 'utf8'));
  }
  return placeIn(workspace, shop);
}

/** What is typed where a text is asked for. */
const TYPED: Readonly<Record<string, string | ((answers: Answers) => string)>> = {
  title: (answers) => (answers['purpose'] === 'inspection' ? 'Lamps of the trailer before the season' : 'Work lamp stays dark'),
  name: '',
  complaint: '',
  proof: '',
  faults: 'Lamp failed; No supply; Ground lead open: loose, or broken',
  defects: 'Oil drips; Lamp dark',
  nominal: '',
  limit: (answers) => LIMITS[answers['first_test'] ?? ''] ?? '',
};
const LIMITS: Readonly<Record<string, string>> = {
  dc_voltage: '>= 20V',
  dc_current: 'at most 5 A',
  resistance: 'between 18 and 26 ohm',
  pressure: 'at least 6 bar',
  temperature: 'at most 95 °C',
  depth: 'at least 3.2 mm',
  length: 'at most 40 mm',
  torque: 'at least 450 N·m',
  rotational_speed: 'between 700 rpm and 800 rpm',
  time: 'at most 60 s',
};

/**
 * Every way through the questions. Of equipment and interval the first and the last are taken: what they do to the text is one
 * line.
 */
function* everyWay(place: NewPlace, few: boolean, answers: Answers = {}): Generator<Answers> {
  const question = nextQuestion(place, answers);
  if (question === undefined) {
    yield answers;
    return;
  }
  const { id, choices } = question;
  const typed = TYPED[id];
  const values = choices ? choices.map(({ value }) => value) : [typeof typed === 'function' ? typed(answers) : (typed ?? '')];
  const taken =
    id === 'equipment' || id === 'interval'
      ? [values[0], values.at(-1)]
      : id === 'grade' || (few && id === 'machine')
        ? values.slice(0, 1)
        : values;
  for (const value of new Set(taken)) {
    expect(problemWith(place, answers, id, value ?? ''), `${id}: ${value}`).toBeUndefined();
    yield* everyWay(place, few, { ...answers, [id]: value ?? '' });
  }
}

describe.each(SHOPS)('in the shop %s', (shop) => {
  it('every combination of answers gives a clean procedure', () => {
    const place = placeOf(shop);
    let ways = 0;
    // What the machine is leads to one step, alike in every shop: all of them in two.
    const few = shop.startsWith('tests') && !process.env['FAULTWRIGHT_NEW'];
    for (const answers of everyWay(place, few)) {
      ways++;
      const { text, findings, name } = newProcedure(place, answers);
      expect(
        findings.map(({ check, message }) => `${check}: ${message}`),
        `${JSON.stringify(answers)}\n${text}`,
      ).toEqual([]);
      expect(text).toMatch(new RegExp(`^procedure: ${name}\n`));
      expect(formatFile(readForFormatting('x.procedure.yaml', text)), text).toEqual([]);
    }
    expect(ways).toBeGreaterThanOrEqual(few ? 30 : 100);
  });
});

describe('what is written', () => {
  const depot = placeOf('procedures');
  const write = (answers: Answers): string => newProcedure(depot, answers).text;

  test('a complaint told apart by a reading and a question', () => {
    expect(
      write({
        purpose: 'fault_finding',
        title: 'Work lamp stays dark',
        name: '',
        equipment: 'gritter',
        machine: 'vehicle',
        complaint: '',
        faults: 'Lamp failed; no supply; Ground lead open',
        first_test: 'dc_voltage',
        nominal: '',
        limit: '>=22V',
        proof: 'Does the lamp light?',
      }),
    ).toMatchSnapshot();
  });

  test('resistance is read on a dead circuit, which is made live again', () => {
    expect(
      write({
        purpose: 'fault_finding',
        title: 'Valve does not move',
        name: 'valve_still',
        equipment: 'any',
        machine: 'plant',
        complaint: 'It hums.',
        faults: 'Coil open; Spool stuck',
        first_test: 'resistance',
        nominal: '24 V',
        limit: 'between 18 and 26 ohm',
        proof: '',
      }),
    ).toMatchSnapshot();
  });

  test('an inspection with the cautions that the shop asks for', () => {
    expect(
      write({
        purpose: 'inspection',
        title: 'Hydraulics of the tail lift',
        name: '',
        equipment: 'tail_lift_truck',
        machine: 'vehicle',
        interval: '6 months',
        defects: 'Relief pressure low; Hydraulic hose chafed',
        grade: 'major',
        first_test: 'pressure',
        limit: 'at least 170 bar',
      }),
    ).toMatchSnapshot();
  });

  test('texts that YAML would misread stand in quotes', () => {
    const { text, findings } = newProcedure(placeOf('none'), {
      purpose: 'fault_finding',
      title: 'Lamp: dark # again',
      name: 'lamp',
      machine: 'none',
      complaint: "- it's dark",
      faults: '{Bulb, or lamp}; null; 3: [x]',
      first_test: 'look',
      proof: 'Is it: lit?',
    });
    expect(findings.filter(({ check }) => /yaml|text-cut|wrong-kind/.test(check))).toEqual([]);
    expect(text).toMatchSnapshot();
  });
});

describe('answers that will not do', () => {
  const place = placeOf('procedures');
  test.each([
    ['title', ' ', 'A procedure needs a title'],
    ['name', 'No Crank', "'No Crank' cannot be a name"],
    ['faults', 'one', 'name at least two'],
    ['faults', 'Lamp; lamp', "'lamp' stands twice"],
    ['defects', '', 'name at least one'],
    ['nominal', '24', 'is no voltage'],
    ['nominal', '400 V', 'isolated and proved dead by a qualified person'],
    ['nominal', '230 V AC', 'isolated and proved dead by a qualified person'],
    ['limit', '', 'band is missing'],
    ['limit', '12 V', 'stands alone'],
    ['limit', 'at least 12 bar', '12 bar is no DC voltage'],
    ['limit', 'at least rated', 'as a quantity'],
    ['limit', 'otherwise', 'one condition'],
    ['proof', 'It works', 'ends with a question mark'],
    ['machine', 'boat', 'Choose one of: vehicle'],
    ['colour', 'red', "no question 'colour'"],
  ])('%s: %s', (id, answer, reason) => {
    expect(problemWith(place, { first_test: 'dc_voltage' }, id, answer)).toContain(reason);
  });

  test('a name that is taken', () => {
    const workspace = new Workspace();
    workspace.setFile('a/lamp.procedure.yaml', 'procedure: lamp\n');
    const here = placeIn(workspace, 'a');
    expect(problemWith(here, {}, 'name', 'lamp')).toContain("a procedure 'lamp' already");
    expect(nextQuestion(here, { purpose: 'inspection', title: 'The lamp' })?.suggestion).toBe('lamp_2');
  });
});

test('the questions say how many there are', () => {
  const place = placeOf('procedures');
  expect(countQuestions(place, {})).toBeGreaterThan(6);
  expect(countQuestions(place, { purpose: 'inspection' })).toBe(9);
  expect(countQuestions(place, { purpose: 'inspection', first_test: 'resistance' })).toBe(11);
});
