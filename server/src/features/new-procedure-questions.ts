/** The questions of a new procedure, in order: when each is asked, what it offers and what will do for an answer. */
import { boundsOf, expressionsOf, namesIn, type Expression } from '../quantity/expression.ts';
import { parseBand } from '../quantity/parse-band.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { describeQuantityWord, quantityPhrase, quantityWord, unitFits, type QuantityWord } from '../quantity/quantity-words.ts';
import { compareRational, rational } from '../quantity/rational.ts';
import type { Answers, Choice, NewPlace, Question } from './new-procedure.ts';
import { nameFrom } from './written-yaml.ts';

export interface AskedQuestion {
  readonly id: string;
  readonly asked?: (answers: Answers, place: NewPlace) => boolean;
  readonly ask: (answers: Answers, place: NewPlace) => Omit<Question, 'id'> | undefined;
  /** `answer` has no blanks around it; empty where the suggestion is taken. */
  readonly problem?: (answer: string, answers: Answers, place: NewPlace) => string | undefined;
}

/** What the first test may read. High voltages are left to procedures that isolate and prove dead first. */
const READINGS: readonly QuantityWord[] = [
  'dc_voltage',
  'dc_current',
  'resistance',
  'pressure',
  'temperature',
  'depth',
  'length',
  'torque',
  'rotational_speed',
  'time',
];
const ON_A_CIRCUIT: readonly string[] = ['dc_voltage', 'dc_current', 'resistance'];
const EXAMPLES: Partial<Record<QuantityWord, string>> = {
  dc_voltage: 'at least 22 V',
  dc_current: 'at most 50 mA',
  resistance: 'between 18 ohm and 26 ohm',
  pressure: 'at least 170 bar',
  temperature: 'at most 95 °C',
  depth: 'at least 3.2 mm',
  length: 'between 2 mm and 4 mm',
  torque: 'at least 450 N·m',
  rotational_speed: 'between 700 rpm and 800 rpm',
  time: 'at most 60 s',
};

const inspection = (answers: Answers): boolean => answers['purpose'] === 'inspection';
const measured = (answers: Answers): boolean => answers['first_test'] !== undefined && answers['first_test'] !== 'look';

export const QUESTIONS: readonly AskedQuestion[] = [
  {
    id: 'purpose',
    ask: () => ({
      text: 'What is the procedure for?',
      choices: [
        { value: 'fault_finding', label: 'A complaint', detail: 'Finds the one fault behind it' },
        { value: 'inspection', label: 'An inspection', detail: 'Records every defect and goes on' },
      ],
    }),
  },
  {
    id: 'title',
    ask: (answers) =>
      inspection(answers)
        ? { text: 'What is inspected? A few words: they become the title.', help: 'For example: Tail lift before the season' }
        : {
            text: 'What does the operator report? A few words: they become the title.',
            help: 'For example: Work lamp stays dark',
          },
    problem: (answer) =>
      answer === ''
        ? 'A procedure needs a title: a few words will do.'
        : answer.length > 100
          ? 'That is long for a title. Keep it to a hundred characters; there is room for more later.'
          : undefined,
  },
  {
    id: 'name',
    ask: (answers, { taken }) => ({
      text: 'What is its name, by which other procedures run it?',
      help: 'Small letters, digits and _. The file is called after it.',
      suggestion: nameFrom(answers['title'] ?? '', taken, 40),
    }),
    problem: (answer, _answers, { taken }) => {
      if (answer === '') return undefined;
      if (!/^[a-z][a-z0-9_]*$/.test(answer))
        return `'${answer}' cannot be a name: a small letter comes first, then small letters, digits and '_'.`;
      return taken.has(answer) ? `There is a procedure '${answer}' already. Choose another name.` : undefined;
    },
  },
  {
    id: 'equipment',
    asked: (_answers, place) => equipmentIn(place).length > 0,
    ask: (_answers, place) => ({
      text: 'Which equipment is it for?',
      help: 'As assets.yaml has it. Others can be added later.',
      choices: [
        ...equipmentIn(place),
        { value: 'any', label: 'Not one kind alone', detail: 'The procedure does not say which equipment it is for' },
      ],
    }),
  },
  {
    id: 'machine',
    ask: () => ({
      text: 'What kind of machine is it? It decides the first step.',
      choices: [
        { value: 'vehicle', label: 'A vehicle', detail: 'Parked on level ground, parking brake applied, ignition off' },
        { value: 'trailer', label: 'A trailer', detail: 'Parked on level ground, wheels chocked' },
        { value: 'plant', label: 'Workshop plant', detail: 'People at the machine are told that it is worked on' },
        { value: 'none', label: 'Another way', detail: 'You write the first step yourself' },
      ],
    }),
  },
  {
    id: 'complaint',
    asked: (answers) => !inspection(answers),
    ask: (answers) => ({
      text: 'When does it happen, and what still works?',
      help: 'The complaint in a sentence or two. Leave it empty to take the title.',
      suggestion: sentence(answers['title'] ?? ''),
    }),
  },
  {
    id: 'faults',
    asked: (answers) => !inspection(answers),
    ask: () => ({
      text: 'Which faults can cause it? Two or more, with a semicolon between them.',
      help: 'The one that the first test shows comes first. For example: Lamp failed; No supply; Ground lead open',
    }),
    problem: (answer) =>
      listProblem(answer, 2, 'A procedure tells faults apart: name at least two, with a semicolon between them.'),
  },
  {
    id: 'interval',
    asked: inspection,
    ask: () => ({
      text: 'How often does it fall due?',
      choices: ['1 day', '1 week', '1 month', '6 months', '12 months']
        .map((value) => ({ value, label: value === '1 day' ? 'Every day' : `Every ${value.replace(/^1 /, '')}` }))
        .concat([{ value: 'none', label: 'When it is asked for' }]),
    }),
  },
  {
    id: 'defects',
    asked: inspection,
    ask: () => ({
      text: 'Which defects does it look for? One or more, with a semicolon between them.',
      help: 'For example: Oil drips; Tread worn; Lamp dark',
    }),
    problem: (answer) => listProblem(answer, 1, 'An inspection looks for something: name at least one defect.'),
  },
  {
    id: 'grade',
    asked: inspection,
    ask: () => ({
      text: 'How grave are they, as a rule? Each can be graded by itself later.',
      choices: [
        { value: 'minor', label: 'Minor', detail: 'No effect on safety' },
        { value: 'major', label: 'Major', detail: 'May affect safety' },
        { value: 'dangerous', label: 'Dangerous', detail: 'A direct danger: not to be used' },
      ],
    }),
  },
  {
    id: 'first_test',
    ask: (answers) => ({
      text: "How does the first test show '{0}'?",
      values: [firstOf(answers)],
      choices: [
        { value: 'look', label: 'By looking, listening or trying', detail: 'A question that is answered yes or no' },
        ...READINGS.map((word): Choice => ({
          value: word,
          label: 'By a reading: {0}',
          values: [quantityPhrase(word)],
          detail: describeQuantityWord(word).usualUnits.slice(0, 3).join(', '),
        })),
      ],
    }),
  },
  {
    id: 'nominal',
    asked: (answers) => ON_A_CIRCUIT.includes(answers['first_test'] ?? ''),
    ask: (answers, place) => ({
      text: 'What is the nominal voltage of the circuit?',
      help:
        answers['first_test'] === 'resistance'
          ? 'Resistance is read with the circuit dead: the skeleton turns the isolator off and on again.'
          : 'For example: 24 V',
      suggestion: voltageOf(answers, place) ?? '24 V',
    }),
    problem: (answer) => (answer === '' ? undefined : voltageProblem(answer)),
  },
  {
    id: 'limit',
    asked: measured,
    ask: (answers) => {
      const word = quantityWord(answers['first_test'] ?? '');
      return (
        word && {
          text: "Which {0} is good? Take the limit from the maker's data.",
          values: [quantityPhrase(word)],
          help: `For example: ${EXAMPLES[word] ?? ''}`,
        }
      );
    },
    problem: (answer, answers) => {
      const word = quantityWord(answers['first_test'] ?? '');
      return word && limitProblem(answer, word);
    },
  },
  {
    id: 'proof',
    asked: (answers) => !inspection(answers),
    ask: () => ({
      text: 'Which question shows that the repair is good?',
      help: 'It is answered yes or no. Leave it empty to ask whether the complaint is gone.',
      suggestion: 'Is the complaint gone?',
    }),
    problem: (answer) => (answer === '' || answer.endsWith('?') ? undefined : 'Ask a question: it ends with a question mark.'),
  },
];

/** The faults or defects that were named. */
export function listed(answer: string | undefined): string[] {
  return (answer ?? '')
    .split(/[;\n]/)
    .map((item) => item.trim().replace(/[.,]+$/, ''))
    .filter((item) => item !== '');
}

/** A text as a sentence. */
export function sentence(text: string): string {
  const trimmed = text.trim();
  const capital = trimmed.charAt(0).toUpperCase() + trimmed.slice(1);
  return capital === '' || /[.?!]$/.test(capital) ? capital : `${capital}.`;
}

function firstOf(answers: Answers): string {
  return listed(inspection(answers) ? answers['defects'] : answers['faults'])[0] ?? 'it';
}

function listProblem(answer: string, least: number, tooFew: string): string | undefined {
  const items = listed(answer);
  if (items.length < least) return tooFew;
  const twice = items.find((item, index) => items.findIndex((other) => other.toLowerCase() === item.toLowerCase()) < index);
  if (twice !== undefined) return `'${twice}' stands twice.`;
  return items.length > 30 ? 'These are more than thirty. Begin with the most frequent; others can be added later.' : undefined;
}

function equipmentIn({ scope }: NewPlace): Choice[] {
  const counts = new Map<string, number>();
  for (const { item } of scope?.assets ?? []) {
    const kind = item.facts.find((fact) => fact.name.value === 'equipment')?.value.value;
    if (kind !== undefined && /^[a-z][a-z0-9_]*$/.test(kind)) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  }
  return [...counts].map(([value, count]) => ({
    value,
    label: value.replaceAll('_', ' '),
    detail: count === 1 ? '1 asset' : `${count} assets`,
  }));
}

/** The voltage of the assets of the chosen equipment, where they have one and the same. */
function voltageOf(answers: Answers, { scope }: NewPlace): string | undefined {
  const voltages = new Set(
    (scope?.assets ?? []).flatMap(({ item }) => {
      const fact = (name: string): string | undefined => item.facts.find((one) => one.name.value === name)?.value.value;
      return fact('equipment') === answers['equipment'] ? [fact('voltage')] : [];
    }),
  );
  const [only] = voltages;
  return voltages.size === 1 && only !== undefined && voltageProblem(only) === undefined ? only : undefined;
}

/** ISO 6469-3 and UN Regulation No. 100 put voltage class B above 60 V DC and 30 V AC (from memory). */
function voltageProblem(answer: string): string | undefined {
  const { quantity, problems } = parseQuantity(answer);
  if (quantity?.unit?.dimension !== 'voltage' || problems.length > 0)
    return `'${answer}' is no voltage. Write a number and a unit, such as 24 V.`;
  if (quantity.unit.supply === 'ac' || compareRational(quantity.base, rational(60)) > 0) {
    return 'Above 60 V DC, or on AC, the circuit has to be isolated and proved dead by a qualified person first. Begin with a procedure of the shop that does so, and work from there.';
  }
  return quantity.number.numerator <= 0n ? 'A nominal voltage is above zero.' : undefined;
}

function limitProblem(answer: string, word: QuantityWord): string | undefined {
  const { band, problems } = parseBand(answer);
  const [problem] = problems;
  if (band === undefined || problem !== undefined)
    return problem === undefined
      ? 'Write what is good, such as: at least 22 V.'
      : `${problem.message} ${problem.help ?? ''}`.trim();
  if (
    band.kind !== 'conditions' ||
    band.conditions.length !== 1 ||
    band.conditions.some((one) => one.point !== undefined || boundsOf(one.comparison).length === 0)
  ) {
    return 'Write one condition, such as: at least 22 V.';
  }
  const expressions = expressionsOf(band);
  if (expressions.some((expression) => namesIn(expression).length > 0 || expression.kind === 'call'))
    return 'Write the limit as a quantity. A name can take its place later.';
  const unfit = expressions.flatMap(quantitiesIn).find((quantity) => !unitFits(quantity.unit, word));
  return unfit === undefined
    ? undefined
    : `${unfit.text} is no ${quantityPhrase(word)}. Its units are ${describeQuantityWord(word).usualUnits.slice(0, 3).join(', ')}.`;
}

function quantitiesIn(expression: Expression): Extract<Expression, { kind: 'quantity' }>['quantity'][] {
  switch (expression.kind) {
    case 'quantity':
      return [expression.quantity];
    case 'name':
      return [];
    case 'negative':
      return quantitiesIn(expression.of);
    case 'call':
      return expression.arguments.flatMap(quantitiesIn);
    default:
      return [...quantitiesIn(expression.left), ...quantitiesIn(expression.right)];
  }
}
