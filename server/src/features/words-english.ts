/**
 * What the editor's features say around a writer's words, in English: lenses, hints, hovers, actions, progress. Findings, and what the format's own
 * keys are for, are not here. Names and texts of a procedure come in as they are; `code` ones already marked as code.
 */

export const ENGLISH = {
  and: 'and',
  or: 'or',

  lens: {
    checklist: 'Run as checklist',
    flow: 'Show the flow',
    diagnosis: 'Show the diagnosis',
    beginsHere: 'A run begins here',
    beginsAndReached: (from: string): string => `A run begins here. Reached again from ${from}`,
    noWalk: 'No walk comes here',
    reached: (from: string): string => `Reached from ${from}`,
    walk: (steps: number): string => `Shortest walk here: ${steps === 1 ? '1 step' : `${steps} steps`}`,
    runBy: (procedure: string): string => `Run by ${procedure}`,
    runByMany: (procedures: number): string => `Run by ${procedures} procedures`,
  },

  arrival: {
    unnamed: (number: number): string => `step ${number}`,
    passedOver: 'passed over',
    steps: (count: number): string => `${count} steps`,
    repairs: (count: number): string => `${count} repairs`,
    repair: (fault: string): string => `the repair of ${fault}`,
  },

  hint: {
    after: (minutes: string): string => `after ${minutes}`,
    minutes: (minutes: string): string => `${minutes} min`,
    minutesBetween: (low: string, high: string): string => `${low} to ${high} min`,
    minutesOrMore: (minutes: string): string => `${minutes} min or more`,
    noLongestWalk: (shortest: string): string => `The shortest walk to this step takes ${shortest} min. A loop without a bound lies on the way, so no walk is the longest.`,
    everyWalk: (minutes: string): string => `Every walk to this step takes ${minutes} min.`,
    walks: (shortest: string, longest: string): string => `The shortest walk to this step takes ${shortest} min, the longest ${longest} min.`,
    counted: 'Times and waits of the steps before it are counted, 1 min for a step that gives no time.',
    tooLarge: 'The procedure is too large to explore whole: some of these walks may not exist.',
    onlyLeft: (fault: string): string => `only ${fault} left`,
    left: (count: number, all: number): string => `${count} of ${all} faults left`,
    rounded: 'Rounded to the figures written.',
    writtenCounts: 'What is written is what counts.',
    range: (low: string, high: string): string => `${low} to ${high}`,
    equals: (written: string, other: string): string => `${written} is ${other}`,
  },

  link: {
    procedure: (name: string): string => `Open the procedure ${name}`,
    figure: 'Open the figure',
  },

  possible: {
    names: (names: string): string => `Still possible here: ${names}`,
    none: 'no fault',
    all: (count: number): string => `Still possible here: all ${count} faults`,
    more: (names: string, more: number): string => `Still possible here: ${names} and ${more} more`,
  },

  hover: {
    kindOfStep: 'one of the five kinds of step',
    required: 'required',
    valueOf: (key: string): string => `a value of ${key}`,
    check: 'check',
    severity: (severity: string): string => severity,
    usualUnits: (units: string): string => `Usual units: ${units}`,
    noWalk: 'No walk comes here.',
    reached: (from: string): string => `Reached from ${from}.`,
    walk: (steps: string): string => `Shortest walk here: ${steps}`,
    stepsBetween: (count: number): string => `… ${count} steps …`,
    timeSoFar: (minutes: string): string => `Time so far: ${minutes}`,
    comparison: {
      'at least': 'Met by the limit itself and by all that is more.',
      'at most': 'Met by the limit itself and by all that is less.',
      above: 'Met by all that is more than the limit, not by the limit itself.',
      below: 'Met by all that is less than the limit, not by the limit itself.',
      'equal to': 'Met by this very value alone.',
      between: 'Met by both limits and by all that lies between them.',
    } as Readonly<Record<string, string>>,
    /** Of a kind of quantity, by its English title. */
    quantity: (title: string): string => title,
    voltageClasses: (classes: string): string => `Voltage ${classes}.`,
    voltageClass: (supply: string, letter: string): string => `class ${letter} as ${supply}`,
    aboveClassB: (supply: string): string => `above class B as ${supply}`,
    approach: (distance: string): string => `As AC: a qualified person keeps ${distance} away from exposed live parts.`,
    tooClose: (instrument: string, width: string, accuracy: string, low: string, high: string): string =>
      `${instrument} reads this to ±${width} (±(${accuracy}), k = 2): too close to call from ${low} to ${high}.`,
  },

  symbol: {
    procedure: 'procedure',
    steps: (count: number): string => `${count} steps`,
    revision: (revision: string): string => `revision ${revision}`,
    step: (kind: string): string => `${kind} step`,
    stepAfterRepair: (kind: string): string => `${kind} step after the repair`,
    fault: 'fault',
    fact: 'fact',
    factOfAssets: 'fact of the assets',
    choice: (fact: string): string => `a choice of the fact ${fact}`,
    state: 'state',
    stateValue: (state: string): string => `a value of the state ${state}`,
    circuit: 'circuit',
    hazard: 'hazard',
    instrument: 'instrument',
    qualification: 'qualification',
    point: (step: string): string => `a point of ${step}`,
    reference: 'reference',
    asset: 'asset',
    sheet: (sheet: string): string => `Sheet ${sheet}`,
    noSignalWord: 'no signal word',
    wear: (things: string): string => `Wear: ${things}.`,
    covers: (hazards: string): string => `Covers ${hazards}`,
    reads: (quantity: string): string => `Read ${quantity}`,
    runs: (procedure: string): string => `Run the procedure ${procedure}`,
    results: (results: string): string => `Results: ${results}`,
    withoutWhen: 'without when',
    remedy: (remedy: string): string => `Remedy: ${remedy}`,
    weight: (weight: string): string => `weight ${weight}`,
    oneOf: (choices: string): string => `One of ${choices}`,
    inAssets: 'In the assets:',
    more: (names: string, more: number): string => `${names} and ${more} more`,
    values: (values: string): string => `Values: ${values}`,
    atStart: (value: string): string => `At the start: ${value}`,
    atStartAny: 'At the start: any of them',
    atEnd: (values: string): string => `Every ending must leave ${values}`,
    held: (values: string): string => `Someone must hold it for ${values}`,
    heldValue: 'Someone must hold it, and only briefly.',
    nominal: (quantity: string): string => `Nominal ${quantity}`,
    deadWhen: (states: string): string => `Dead when ${states}`,
    neverDead: 'Never dead',
    liveWhen: (states: string): string => `Live when ${states}`,
    storedEnergy: (time: string): string => `Stored energy: wait ${time} once isolated`,
    is: (state: string, values: string): string => `${state} is ${values}`,
    cautionEachTime: 'A caution that covers it stands at every step where it arises.',
    cautionOnce: 'A caution that covers it stands once, before it arises.',
    qualified: (qualification: string): string => `Only for a person with ${qualification}.`,
    upTo: (quantity: string): string => `up to ${quantity}`,
    shows: (quantity: string): string => `shows ${quantity}`,
    calibrated: (dates: string): string => `Calibrated until ${dates}`,
    from: (source: string): string => `From: ${source}`,
  },

  action: {
    altersMeaning: (title: string): string => `${title} (changes what the procedure says)`,
    readBefore: 'Changes a limit, unit, state, caution or branch. Read it before you apply it.',
    fixAll: 'Apply every fix that changes no meaning',
    extract: (steps: number): string => (steps === 1 ? 'Make this step a procedure' : `Make these ${steps} steps a procedure`),
    inline: (procedure: string): string => `Write the steps of '${procedure}' out here`,
    /** Of a fix, by its English title. */
    fix: (title: string): string => title,
  },

  progress: {
    checking: 'Checking procedures',
    of: (done: number, all: number): string => `${done} of ${all}`,
  },
};

/** The same entries in every language. */
export type FeatureWords = typeof ENGLISH;
