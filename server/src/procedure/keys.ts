/**
 * The one table of keys: what each object of the format may hold, what it must hold, what value each key takes, and a line
 * that says what it is for. The builder, the JSON Schemas, hover, completion and formatting all read it; nothing else lists keys.
 * Keys stand in the order in which a procedure is best read: the formatter puts them so.
 */

/** The kinds of thing a name may stand for. */
export type NamedKind =
  | 'step' | 'fault' | 'state' | 'state_value' | 'fact' | 'circuit' | 'caution' | 'hazard' | 'instrument' | 'qualification'
  | 'value' | 'point' | 'procedure' | 'quantity' | 'check' | 'tool' | 'protection' | 'reference';

export type ObjectName = keyof typeof OBJECTS;

/** What a key's value looks like. */
export type Shape =
  /** A text that a person reads. */
  | { readonly shape: 'text' }
  /** A text, or a list of texts. */
  | { readonly shape: 'texts' }
  /** A name declared elsewhere, or declared here. */
  | { readonly shape: 'name'; readonly of: NamedKind; readonly declares?: boolean }
  /** One name, or a list of them; with `some` the list may not be empty. */
  | { readonly shape: 'names'; readonly of: NamedKind; readonly declares?: boolean; readonly some?: boolean }
  /** A number with a unit; `dimension` in words, for its description. */
  | { readonly shape: 'quantity'; readonly dimension: string; readonly example: string }
  /** A number without a unit. */
  | { readonly shape: 'number'; readonly whole: boolean; readonly least: number }
  | { readonly shape: 'true' }
  | { readonly shape: 'choice'; readonly choices: readonly string[] }
  /** A map: state → the value or values that will do. */
  | { readonly shape: 'states' }
  /** A map: state → the one value it takes. */
  | { readonly shape: 'assignments' }
  /** A map of states, or a list of such maps: any one of them. */
  | { readonly shape: 'state_alternatives' }
  /** What selects a result: an answer, a band, a choice or an ending, after the kind of its step. */
  | { readonly shape: 'when' }
  | { readonly shape: 'band' }
  | { readonly shape: 'expression' }
  /** A map: probe → the place it touches. */
  | { readonly shape: 'probes' }
  /** A list of points, or a map of them with titles and probes. */
  | { readonly shape: 'points' }
  /** Names of cautions, or cautions written out. */
  | { readonly shape: 'caution_uses' }
  /** A map: fact → the value or values it has. */
  | { readonly shape: 'fact_values' }
  /** A map: quantity → the words an instrument shows. */
  | { readonly shape: 'shown_words' }
  /** A map: term → the spellings it replaces. */
  | { readonly shape: 'terms' }
  /** A map: name → a text. */
  | { readonly shape: 'named_texts' }
  /** A map: check → severity or off. */
  | { readonly shape: 'check_settings' }
  | { readonly shape: 'object'; readonly object: string }
  | { readonly shape: 'list'; readonly object: string }
  /** A map: name → object. `free` names need not be snake_case; with `orTitle` a text alone will do, and is the title. */
  | { readonly shape: 'named'; readonly object: string; readonly of: NamedKind | 'asset'; readonly free?: boolean; readonly orTitle?: boolean };

export interface KeyInfo {
  readonly required?: boolean;
  readonly value: Shape;
  /** One or two sentences for a writer: what it says, then what follows from it. */
  readonly says: string;
}

export interface ObjectInfo {
  /** With its article, as messages use it: 'a step'. */
  readonly title: string;
  readonly says: string;
  readonly keys: Readonly<Record<string, KeyInfo>>;
}

/** The five keys of which a step has exactly one. */
export const STEP_KINDS = ['do', 'ask', 'measure', 'decide', 'run'] as const;
/** The keys of which a result has at most one. */
export const WAYS_ON = ['go', 'finds', 'by_elimination', 'refer', 'passes'] as const;
export const STATUSES = ['draft', 'in_review', 'released', 'withdrawn'] as const;
export const PURPOSES = ['fault_finding', 'inspection'] as const;
export const JUDGES = ['highest', 'lowest', 'mean', 'spread', 'each'] as const;
export const GRADES = ['minor', 'major', 'dangerous'] as const;
export const SIGNAL_WORDS = ['danger', 'warning', 'caution', 'notice'] as const;
export const CHECK_SETTINGS = ['error', 'warning', 'hint', 'off'] as const;

/** Words that a writer may use for a key of ours. */
export const OTHER_WORDS_FOR_KEYS: Readonly<Record<string, readonly string[]>> = {
  action: ['do'], actions: ['do'], instruction: ['do'], instructions: ['do'], question: ['ask'], inspect: ['ask'], check: ['ask', 'measure'],
  goto: ['go'], next: ['go'], then: ['go'], on: ['go'], if: ['when', 'only_if'], answer: ['when'], unless: ['only_if'],
  id: ['step', 'procedure', 'id'], name: ['title', 'step'], label: ['title'], heading: ['title'], description: ['text', 'title'], notes: ['note'],
  reason: ['why', 'because'], warning: ['cautions'], warnings: ['cautions'], caution: ['cautions'], danger: ['cautions'],
  instrument: ['with'], meter: ['with'], tool: ['tools', 'with'], duration: ['time'], minutes: ['time'], pause: ['wait'],
  persons: ['people'], crew: ['people'], precondition: ['needs'], requires: ['needs'], conditions: ['needs'], while: ['during'],
  outcome: ['results'], outcomes: ['results'], result: ['results'], answers: ['results'], branches: ['results'],
  fault: ['finds', 'faults'], fix: ['remedy'], repair: ['remedy'], probability: ['weight'], likelihood: ['weight'], excludes: ['rules_out'],
  remaining: ['leaves'], version: ['revision'], state: ['status', 'states'], vars: ['facts'], symptom: ['complaint'], call: ['run'],
  read: ['measure'], test: ['measure', 'ask'], image: ['figure'], picture: ['figure'], source: ['from'], reference: ['from', 'references'],
  default: ['at_start'], initial: ['at_start'], options: ['choices'], max_repeats: ['repeat_at_most'], loop: ['repeat_at_most'], points: ['at_each'],
};

const text: Shape = { shape: 'text' };
const texts: Shape = { shape: 'texts' };
const time: Shape = { shape: 'quantity', dimension: 'a time', example: '2 min' };
const states: Shape = { shape: 'states' };
const assignments: Shape = { shape: 'assignments' };
const alternatives: Shape = { shape: 'state_alternatives' };
const anyQuantity: Shape = { shape: 'quantity', dimension: 'a quantity', example: '25 V' };

function name(of: NamedKind, declares = false): Shape {
  return { shape: 'name', of, declares };
}

function names(of: NamedKind, declares = false): Shape {
  return { shape: 'names', of, declares, some: declares };
}

const from: KeyInfo = { value: text, says: 'Where the value or the rule comes from: a data sheet, a diagram, a standard.' };

/** What procedures and shop files declare alike. */
const SHARED_DECLARATIONS = {
  states: { value: { shape: 'named', object: 'state', of: 'state' }, says: 'Conditions of the equipment that steps change and depend on, each with the values it may have.' },
  circuits: { value: { shape: 'named', object: 'circuit', of: 'circuit' }, says: 'Electrical circuits: their nominal voltage, and in which states they are dead or live.' },
  instruments: { value: { shape: 'named', object: 'instrument', of: 'instrument' }, says: 'What readings are taken with, and what each instrument can read.' },
  hazards: { value: { shape: 'named', object: 'hazard', of: 'hazard' }, says: 'What can hurt a person, and from what it arises. A caution must cover it before it arises.' },
  cautions: { value: { shape: 'named', object: 'caution', of: 'caution' }, says: 'Safety messages, each with its signal word, hazard, consequence and avoidance.' },
  qualifications: { value: { shape: 'named', object: 'qualification', of: 'qualification', orTitle: true }, says: 'What a person must hold to do certain work.' },
  values: { value: { shape: 'named', object: 'value', of: 'value' }, says: 'Quantities with a name, for use in bands and expressions.' },
} as const satisfies Record<string, KeyInfo>;

export const OBJECTS = {
  procedure: {
    title: 'a procedure',
    says: 'One diagnostic procedure or inspection: what it is for, what it knows of the equipment, the faults it tells apart, and its steps.',
    keys: {
      procedure: { required: true, value: name('procedure', true), says: 'The name of the procedure, by which others run it.' },
      title: { required: true, value: text, says: 'The title a technician reads.' },
      revision: { value: text, says: 'The revision, as written: 4, or 1.10. Raise it with every released change.' },
      status: { value: { shape: 'choice', choices: STATUSES }, says: 'Where the procedure stands in its life. Without it, it is a draft.' },
      purpose: { value: { shape: 'choice', choices: PURPOSES }, says: 'fault_finding looks for the one fault behind a complaint; inspection records every defect. Without it, fault_finding.' },
      complaint: { value: text, says: 'What the operator reports, and under what conditions.' },
      interval: { value: text, says: 'How often an inspection falls due: 6 months, 250 h, 10000 km.' },
      approved: { value: { shape: 'object', object: 'approval' }, says: 'Who approved this revision, and when.' },
      applies_to: { value: { shape: 'fact_values' }, says: 'The equipment it is for: facts of the assets and the values they must have. A list gives alternatives.' },
      qualified: { value: names('qualification'), says: 'What the person who does the whole procedure must hold.' },
      references: { value: { shape: 'list', object: 'reference' }, says: 'Diagrams and documents that the procedure relies on.' },
      facts: { value: { shape: 'named', object: 'fact', of: 'fact' }, says: 'What differs from asset to asset: a choice of words, or a quantity.' },
      ...SHARED_DECLARATIONS,
      faults: { value: { shape: 'named', object: 'fault', of: 'fault', orTitle: true }, says: 'The faults that can cause the complaint. One of them is taken to be the cause.' },
      steps: { required: true, value: { shape: 'list', object: 'step' }, says: 'What is done. A run begins with the first step; a step goes on with the next in the list unless it says otherwise.' },
      after_repair: { value: { shape: 'list', object: 'step' }, says: 'Steps that prove the repair, whatever the fault, unless the fault names the step where its own proof begins.' },
      accept: { value: { shape: 'list', object: 'accepted_deviation' }, says: 'Findings that the shop accepts, with the reason. They stay visible in reports and on the checklist.' },
    },
  },
  approval: {
    title: 'an approval',
    says: 'Who approved the procedure, and when.',
    keys: {
      by: { required: true, value: text, says: 'The person or group that approved it.' },
      on: { required: true, value: text, says: 'The day, as 2026-10-30.' },
    },
  },
  reference: {
    title: 'a reference',
    says: 'A document that the procedure relies on.',
    keys: {
      id: { required: true, value: text, says: 'Its number or short name, as texts mention it: WD-7.' },
      title: { value: text, says: 'What it is called.' },
      sheet: { value: text, says: 'The sheet or page.' },
    },
  },
  fact: {
    title: 'a fact',
    says: "Something that differs from asset to asset: 'choices' for a word, 'quantity' for a number.",
    keys: {
      title: { value: text, says: 'What it is, as a technician reads it.' },
      choices: { value: names('fact', true), says: 'The words it may be. Give choices or a quantity.' },
      quantity: { value: name('quantity'), says: 'What it measures, where it is a number: resistance, pressure, temperature.' },
      from,
    },
  },
  state: {
    title: 'a state',
    says: 'A condition of the equipment that steps change and depend on.',
    keys: {
      title: { value: text, says: 'What it is, as a technician reads it.' },
      values: { required: true, value: names('state_value', true), says: 'The values it may have.' },
      at_start: { value: name('state_value'), says: 'Its value when a run begins. Without it, it may have any of its values until a step sets it.' },
      at_end: { value: names('state_value'), says: 'The values that every ending must leave. Without it nothing is demanded.' },
      held: { value: names('state_value'), says: 'Values that last only while someone holds them, as a control held to raise.' },
      changes: { value: { shape: 'list', object: 'change' }, says: 'How to bring it to a value: what a fix inserts and a plan counts.' },
    },
  },
  change: {
    title: 'a change of a state',
    says: 'How to bring a state to one of its values.',
    keys: {
      to: { required: true, value: name('state_value'), says: 'The value it brings about.' },
      do: { required: true, value: texts, says: 'What to do, one action each.' },
      time: { value: time, says: 'How long it takes.' },
      cautions: { value: { shape: 'caution_uses' }, says: 'Cautions to show before it.' },
    },
  },
  circuit: {
    title: 'a circuit',
    says: 'An electrical circuit. Resistance is read on a dead one, voltage and current on a live one.',
    keys: {
      title: { value: text, says: 'What it is, as a technician reads it.' },
      nominal: { value: { shape: 'quantity', dimension: 'a voltage', example: '24 V' }, says: "Its nominal voltage; '400 V AC' marks an AC circuit, otherwise it is DC." },
      category: { value: text, says: 'The IEC 61010 measurement category of the place, as CAT II.' },
      dead_when: { value: alternatives, says: 'The states in which it is dead; a list gives alternatives. Without it, it is never dead.' },
      live_when: { value: alternatives, says: 'The states in which it is live, where it is not dead; a list gives alternatives. Without it, it is live whenever it is not dead.' },
      discharge_wait: { value: time, says: 'How long stored energy needs to bleed away once the circuit is isolated.' },
      from,
    },
  },
  fault: {
    title: 'a fault',
    says: 'A fault that can cause the complaint, and what puts it right.',
    keys: {
      title: { value: text, says: 'What is wrong, as a technician reads it.' },
      weight: { value: { shape: 'number', whole: false, least: 0 }, says: 'How often it is the cause, beside the other weights: 25 is five times as often as 5.' },
      grade: { value: { shape: 'choice', choices: GRADES }, says: 'How grave a defect it is in an inspection, as in Directive 2014/45/EU.' },
      remedy: { value: text, says: 'What puts it right.' },
      cautions: { value: { shape: 'caution_uses' }, says: 'Cautions shown with the remedy: names, or cautions written out.' },
      qualified: { value: names('qualification'), says: 'What the person who carries out the remedy must hold.' },
      procedure: { value: name('procedure'), says: 'The procedure that goes on from here.' },
      time: { value: time, says: 'How long the remedy takes.' },
      after_repair: { value: name('step'), says: "The step of 'after_repair' with which the proof of this repair begins; without it, the first." },
    },
  },
  step: {
    title: 'a step',
    says: "One step. Exactly one of 'do', 'ask', 'measure', 'decide' and 'run' says what kind it is.",
    keys: {
      step: { required: true, value: name('step', true), says: 'The name of the step. A reading taken in it goes by this name in bands and expressions.' },
      title: { value: text, says: 'A heading, where the name of the step is not enough.' },
      only_if: { value: states, says: 'Facts or states that must hold; else the step is passed over.' },
      do: { value: texts, says: 'Instructions: a text or a list, one action each. Such a step has no results.' },
      ask: { value: text, says: 'A question, or an inspection answered by looking, listening or trying.' },
      measure: { value: name('quantity'), says: 'What is read with an instrument: dc_voltage, resistance, pressure. Without results it only stores its reading.' },
      decide: { value: { shape: 'expression' }, says: 'An expression over earlier readings and facts, or the name of a fact. Nobody is asked.' },
      run: { value: name('procedure'), says: 'Another procedure, by name. The results say what follows each of its endings.' },
      circuit: { value: name('circuit'), says: 'The circuit it works on.' },
      with: { value: name('instrument'), says: 'The instrument or tool it is done with.' },
      range: { value: anyQuantity, says: 'The range to set on the instrument.' },
      at: { value: { shape: 'probes' }, says: 'Where the reading is taken: probe → place.' },
      at_each: { value: { shape: 'points' }, says: 'Points at which one reading each is taken: a list of names, or a map with titles and probes.' },
      judge: { value: { shape: 'choice', choices: JUDGES }, says: "What the readings of 'at_each' are judged by: their highest, lowest, mean or spread; 'each' gives every point a result of its own." },
      seek: { value: { shape: 'band' }, says: "A band: points of 'at_each' are read in turn until one meets it. The results are found and not_found." },
      proves_dead: { value: name('circuit'), says: 'The circuit that this reading proves dead.' },
      text: { value: text, says: 'How to do it.' },
      figure: { value: text, says: 'An image file that shows how.' },
      why: { value: text, says: 'What the step tells apart, or why it is done.' },
      tools: { value: texts, says: 'Other tools it needs.' },
      needs: { value: states, says: 'States that must hold when the step begins: state → value, or a list of values that will do.' },
      during: { value: states, says: 'States that hold only while the step is done, as a control that is held.' },
      wait: { value: time, says: 'A pause before the reading or the next step, which the checklist counts down.' },
      max_time: { value: time, says: "The longest time the step may hold its 'during' states." },
      rest: { value: time, says: 'The pause before the step may be done again.' },
      repeat_at_most: { value: { shape: 'number', whole: true, least: 1 }, says: 'How many times the step is done in one search. A further arrival passes it over and goes to the next step in the list.' },
      keep_first: { value: { shape: 'true' }, says: 'This test stays ahead of the others, whatever the numbers say: no better order that is proposed puts another before it.' },
      sets: { value: assignments, says: 'States after the step: state → the one value it brings about.' },
      hazards: { value: names('hazard'), says: 'Hazards of the step, named outright. Most are inferred.' },
      cautions: { value: { shape: 'caution_uses' }, says: 'Cautions shown before the step: names, or cautions written out.' },
      qualified: { value: names('qualification'), says: 'What the person who does this step must hold.' },
      people: { value: { shape: 'number', whole: true, least: 1 }, says: 'How many people it takes. Without it, one.' },
      photo: { value: text, says: 'What to photograph as evidence.' },
      note: { value: text, says: 'A remark for the reader.' },
      time: { value: time, says: 'How long it takes.' },
      go: { value: name('step'), says: 'The step to go on with, where the step has no results. Without it, the next in the list.' },
      results: { value: { shape: 'list', object: 'result' }, says: 'Every way the step can end.' },
    },
  },
  result: {
    title: 'a result',
    says: 'One way a step can end: what selects it, what it proves, and the way on.',
    keys: {
      when: { required: true, value: { shape: 'when' }, says: "What selects it: an answer, a band such as 'at least 12.4 V', a choice, or an ending of the procedure run. 'otherwise' comes last." },
      says: { value: text, says: 'What the technician sees.' },
      rules_out: { value: names('fault'), says: 'Faults that are no longer possible.' },
      leaves: { value: names('fault'), says: 'The only faults that are still possible.' },
      sets: { value: assignments, says: 'States that come with this result, after those of its step.' },
      raises: { value: name('fault'), says: 'In an inspection: records a defect of this fault and goes on.' },
      go: { value: name('step'), says: 'The step to go on with. Without a way on, the next in the list.' },
      finds: { value: name('fault'), says: 'The result itself shows this fault: the search ends with its remedy.' },
      by_elimination: { value: name('fault'), says: 'This fault is the only one left: the search ends with its remedy.' },
      refer: { value: text, says: 'The procedure ends here without a finding: what to do, or whom to turn to.' },
      passes: { value: { shape: 'true' }, says: 'The procedure ends without a fault.' },
    },
  },
  point: {
    title: 'a point',
    says: 'A place where a reading is taken.',
    keys: {
      title: { value: text, says: 'What it is, as a technician reads it.' },
      at: { value: { shape: 'probes' }, says: 'Where the probes go at this point: probe → place.' },
    },
  },
  caution: {
    title: 'a caution',
    says: 'A safety message: what can hurt, how badly, and how to avoid it (ANSI Z535.6).',
    keys: {
      signal: { required: true, value: { shape: 'choice', choices: SIGNAL_WORDS }, says: 'danger: will kill or injure gravely. warning: could. caution: could injure lightly. notice: no injury, but damage (ANSI Z535.4).' },
      hazard: { required: true, value: text, says: 'What can hurt.' },
      consequence: { required: true, value: text, says: 'What happens to a person who does not avoid it.' },
      avoid: { required: true, value: text, says: 'How to avoid it, as a command.' },
      wear: { value: names('protection'), says: 'Protective equipment to wear.' },
      covers: { value: names('hazard'), says: 'The hazards it warns of.' },
      from,
    },
  },
  hazard: {
    title: 'a hazard',
    says: 'Something that can hurt a person, and from what it arises.',
    keys: {
      title: { value: text, says: 'What it is.' },
      arises_from: { value: { shape: 'object', object: 'triggers' }, says: 'From what it arises. Each entry alone is enough.' },
      repeat: { value: { shape: 'choice', choices: ['every_step', 'once_before'] }, says: 'Whether its caution is shown at every step where it arises, or once before. Without it, once_before.' },
      qualified: { value: name('qualification'), says: 'What a person must hold to work where it arises.' },
      from,
    },
  },
  triggers: {
    title: 'what a hazard arises from',
    says: 'Conditions from which a hazard arises; each alone is enough.',
    keys: {
      during: { value: alternatives, says: 'States held while the step is done; a list gives alternatives.' },
      states: { value: alternatives, says: 'States that hold at the step, whatever brought them about.' },
      sets: { value: alternatives, says: 'States that the step or its result brings about.' },
      words: { value: texts, says: 'Phrases in the instructions, question, text or title of a step, in what a result refers to, and in a remedy: any case, whole words. The format reference tells how a phrase holds alternatives and gaps.' },
      quantities: { value: names('quantity'), says: 'Quantities that the step measures.' },
      tools: { value: names('tool'), says: 'Instruments and tools that the step is done with.' },
      dc_above: { value: { shape: 'quantity', dimension: 'a voltage', example: '60 V' }, says: 'A DC circuit with a nominal voltage above this, unless proved dead.' },
      ac_above: { value: { shape: 'quantity', dimension: 'a voltage', example: '30 V' }, says: 'An AC circuit with a nominal voltage above this, unless proved dead.' },
    },
  },
  instrument: {
    title: 'an instrument',
    says: 'What readings are taken with.',
    keys: {
      title: { value: text, says: 'What it is.' },
      category: { value: text, says: 'Its IEC 61010 measurement category and voltage, as CAT III 600 V.' },
      measures: { value: { shape: 'named', object: 'instrument_function', of: 'quantity' }, says: 'What it can read: quantity → range, resolution and accuracy.' },
      shows: { value: { shape: 'shown_words' }, says: 'The words it shows in place of a number: quantity → words, as lit and dark.' },
      number: { value: text, says: 'The number of the very instrument, where the shop has one of them.' },
      calibrated_until: { value: text, says: 'The last day on which its calibration holds, as 2027-03-01. A reading taken later says so in the record.' },
      numbers: { value: { shape: 'named_texts' }, says: 'Where the shop has several: number → the last day on which its calibration holds, as {M-12: 2027-03-01}. The run asks which one it is.' },
    },
  },
  instrument_function: {
    title: 'a function of an instrument',
    says: 'One quantity that an instrument reads.',
    keys: {
      from: { value: anyQuantity, says: 'The lowest value it reads; without it, zero.' },
      up_to: { value: anyQuantity, says: 'The highest value it reads.' },
      resolution: { value: anyQuantity, says: 'The smallest step it shows.' },
      accuracy: { value: text, says: 'Its accuracy, as 0.5 % + 2 counts.' },
    },
  },
  value: {
    title: 'a value',
    says: 'A quantity with a name.',
    keys: {
      is: { required: true, value: anyQuantity, says: 'The quantity.' },
      from,
    },
  },
  qualification: {
    title: 'a qualification',
    says: 'What a person must hold to do certain work.',
    keys: {
      title: { value: text, says: 'What it is called.' },
      from,
    },
  },
  accepted_deviation: {
    title: 'an accepted deviation',
    says: 'A finding that the shop accepts, with the reason.',
    keys: {
      check: { required: true, value: name('check'), says: 'The check whose finding is accepted.' },
      at: { value: name('step'), says: 'The step, or another name, that the finding is about. Without it, the whole procedure.' },
      because: { required: true, value: text, says: 'Why it is right as it is.' },
      by: { value: text, says: 'Who accepted it. A safety finding in a released procedure needs it.' },
    },
  },
  shop: {
    title: 'a shop file',
    says: "What a shop's procedures share. The nearest shop.yaml up the folder tree is used; one above it is inherited.",
    keys: {
      shop: { value: text, says: 'The name of the shop.' },
      format: { value: { shape: 'choice', choices: ['1'] }, says: 'The version of the format.' },
      ...SHARED_DECLARATIONS,
      terms: { value: { shape: 'terms' }, says: 'Terms the shop uses: term → the spellings it replaces.' },
      abbreviations: { value: { shape: 'named_texts' }, says: 'Abbreviations and what they stand for.' },
      checks: { value: { shape: 'check_settings' }, says: "How grave a check's findings are here: error, warning, hint or off. Safety checks cannot be switched off." },
    },
  },
  assets: {
    title: 'an assets file',
    says: 'The equipment that the shop looks after.',
    keys: {
      assets: { required: true, value: { shape: 'named', object: 'asset', of: 'asset', free: true }, says: 'Asset number → the facts of that asset.' },
    },
  },
} as const satisfies Record<string, ObjectInfo>;

/** The table of one object, by name; undefined for a name that is none. */
export function objectInfo(objectName: string): ObjectInfo | undefined {
  return (OBJECTS as Readonly<Record<string, ObjectInfo>>)[objectName];
}
