/** What the editor's features say around a writer's words, in German. The entries are those of words-english.ts. */
import { fixInGerman } from './fixes-german.ts';
import type { FeatureWords } from './words-english.ts';

const STEP_KINDS: Readonly<Record<string, string>> = {
  do: 'Handlung', ask: 'Frage', measure: 'Messung', decide: 'Entscheidung', run: 'Aufruf eines Verfahrens',
};

const SEVERITIES: Readonly<Record<string, string>> = { error: 'Fehler', warning: 'Warnung', hint: 'Hinweis' };

export const GERMAN: FeatureWords = {
  and: 'und',
  or: 'oder',

  lens: {
    checklist: 'Als Prüfliste abarbeiten',
    flow: 'Ablauf zeigen',
    diagnosis: 'Diagnose zeigen',
    beginsHere: 'Hier beginnt ein Durchgang',
    beginsAndReached: (from) => `Hier beginnt ein Durchgang. Wieder erreicht von ${from}`,
    noWalk: 'Kein Weg führt hierher',
    reached: (from) => `Erreicht von ${from}`,
    walk: (steps) => `Kürzester Weg hierher: ${steps === 1 ? '1 Schritt' : `${steps} Schritte`}`,
    runBy: (procedure) => `Ausgeführt von ${procedure}`,
    runByMany: (procedures) => `Ausgeführt von ${procedures} Verfahren`,
  },

  arrival: {
    unnamed: (number) => `Schritt ${number}`,
    passedOver: 'übergangen',
    steps: (count) => `${count} Schritten`,
    repairs: (count) => `${count} Reparaturen`,
    repair: (fault) => `der Reparatur von ${fault}`,
  },

  hint: {
    after: (minutes) => `nach ${minutes}`,
    minutes: (minutes) => `${comma(minutes)} min`,
    minutesBetween: (low, high) => `${comma(low)} bis ${comma(high)} min`,
    minutesOrMore: (minutes) => `${comma(minutes)} min oder mehr`,
    noLongestWalk: (shortest) => `Der kürzeste Weg zu diesem Schritt dauert ${comma(shortest)} min. Unterwegs liegt eine Schleife ohne Grenze: Einen längsten Weg gibt es nicht.`,
    everyWalk: (minutes) => `Jeder Weg zu diesem Schritt dauert ${comma(minutes)} min.`,
    walks: (shortest, longest) => `Der kürzeste Weg zu diesem Schritt dauert ${comma(shortest)} min, der längste ${comma(longest)} min.`,
    counted: 'Gezählt sind Zeiten und Pausen der Schritte davor, 1 min für einen Schritt ohne Zeitangabe.',
    tooLarge: 'Das Verfahren ist zu groß, um jedem Weg zu folgen: Einige dieser Wege gibt es vielleicht nicht.',
    onlyLeft: (fault) => `nur ${fault} noch möglich`,
    left: (count, all) => `${count} von ${all} Fehlern noch möglich`,
    rounded: 'Gerundet auf die Stellen, die geschrieben sind.',
    writtenCounts: 'Es gilt, was geschrieben ist.',
    range: (low, high) => `${low} bis ${high}`,
    equals: (written, other) => `${written} sind ${other}`,
  },

  link: {
    procedure: (name) => `Verfahren ${name} öffnen`,
    figure: 'Abbildung öffnen',
  },

  possible: {
    names: (names) => `Hier noch möglich: ${names}`,
    none: 'kein Fehler',
    all: (count) => `Hier noch möglich: alle ${count} Fehler`,
    more: (names, more) => `Hier noch möglich: ${names} und ${more} weitere`,
  },

  hover: {
    kindOfStep: 'eine der fünf Arten von Schritten',
    required: 'nötig',
    valueOf: (key) => `ein Wert von ${key}`,
    check: 'Prüfung',
    severity: (severity) => SEVERITIES[severity] ?? severity,
    usualUnits: (units) => `Übliche Einheiten: ${units}`,
    noWalk: 'Kein Weg führt hierher.',
    reached: (from) => `Erreicht von ${from}.`,
    walk: (steps) => `Kürzester Weg hierher: ${steps}`,
    stepsBetween: (count) => `… ${count} Schritte …`,
    timeSoFar: (minutes) => `Zeit bis hierher: ${minutes}`,
    comparison: {
      'at least': 'Mindestens: erfüllt von der Grenze selbst und von allem, was mehr ist.',
      'at most': 'Höchstens: erfüllt von der Grenze selbst und von allem, was weniger ist.',
      above: 'Über: erfüllt von allem, was mehr ist als die Grenze, nicht von der Grenze selbst.',
      below: 'Unter: erfüllt von allem, was weniger ist als die Grenze, nicht von der Grenze selbst.',
      'equal to': 'Gleich: erfüllt von genau diesem Wert.',
      between: 'Zwischen: erfüllt von beiden Grenzen und von allem, was dazwischen liegt.',
    },
    quantity: (title) => quantityInGerman(title),
    voltageClasses: (classes) => `Spannung ${classes}.`,
    voltageClass: (supply, letter) => `der Klasse ${letter} als ${supply}`,
    aboveClassB: (supply) => `über Klasse B als ${supply}`,
    approach: (distance) => `Als AC: Eine befähigte Person hält ${distance} Abstand von blanken Teilen unter Spannung.`,
    tooClose: (instrument, width, accuracy, low, high) =>
      `${instrument} zeigt dies auf ±${width} genau (±(${accuracy}), k = 2): von ${low} bis ${high} zu knapp, um zu entscheiden.`,
  },

  symbol: {
    procedure: 'Verfahren',
    steps: (count) => `${count} Schritte`,
    revision: (revision) => `Revision ${revision}`,
    step: (kind) => `Schritt (${STEP_KINDS[kind] ?? kind})`,
    stepAfterRepair: (kind) => `Schritt nach der Reparatur (${STEP_KINDS[kind] ?? kind})`,
    fault: 'Fehler',
    fact: 'Angabe',
    factOfAssets: 'Angabe zu den Geräten',
    choice: (fact) => `eine Möglichkeit der Angabe ${fact}`,
    state: 'Zustand',
    stateValue: (state) => `ein Wert des Zustands ${state}`,
    circuit: 'Stromkreis',
    hazard: 'Gefährdung',
    instrument: 'Messgerät',
    qualification: 'Befähigung',
    point: (step) => `ein Messpunkt von ${step}`,
    reference: 'Unterlage',
    asset: 'Gerät',
    sheet: (sheet) => `Blatt ${sheet}`,
    noSignalWord: 'ohne Signalwort',
    wear: (things) => `Tragen: ${things}.`,
    covers: (hazards) => `Deckt ab: ${hazards}`,
    reads: (quantity) => `Messen: ${quantity}`,
    runs: (procedure) => `Führt das Verfahren ${procedure} aus`,
    results: (results) => `Ergebnisse: ${results}`,
    withoutWhen: 'ohne when',
    remedy: (remedy) => `Abhilfe: ${remedy}`,
    weight: (weight) => `Gewicht ${weight}`,
    oneOf: (choices) => `Eines von ${choices}`,
    inAssets: 'Bei den Geräten:',
    more: (names, more) => `${names} und ${more} weitere`,
    values: (values) => `Werte: ${values}`,
    atStart: (value) => `Am Anfang: ${value}`,
    atStartAny: 'Am Anfang: irgendeiner davon',
    atEnd: (values) => `Jedes Ende muss ${values} hinterlassen`,
    held: (values) => `Für ${values} muss jemand ihn halten`,
    heldValue: 'Jemand muss ihn halten, und nur kurz.',
    nominal: (quantity) => `Nennwert ${quantity}`,
    deadWhen: (states) => `Spannungsfrei, wenn ${states}`,
    neverDead: 'Nie spannungsfrei',
    liveWhen: (states) => `Unter Spannung, wenn ${states}`,
    storedEnergy: (time) => `Gespeicherte Energie: nach dem Trennen ${time} warten`,
    is: (state, values) => `${state} ${values} ist`,
    cautionEachTime: 'Ein Warnhinweis, der sie abdeckt, steht bei jedem Schritt, in dem sie entsteht.',
    cautionOnce: 'Ein Warnhinweis, der sie abdeckt, steht einmal, bevor sie entsteht.',
    qualified: (qualification) => `Nur für eine Person mit ${qualification}.`,
    upTo: (quantity) => `bis ${quantity}`,
    shows: (quantity) => `zeigt ${quantity}`,
    calibrated: (dates) => `Kalibriert bis ${dates}`,
    from: (source) => `Quelle: ${source}`,
  },

  action: {
    altersMeaning: (title) => `${title} (ändert, was das Verfahren sagt)`,
    readBefore: 'Ändert eine Grenze, eine Einheit, einen Zustand, einen Warnhinweis oder eine Verzweigung. Lesen Sie es, bevor Sie es übernehmen.',
    fixAll: 'Alle Korrekturen vornehmen, die keine Bedeutung ändern',
    extract: (steps) => (steps === 1 ? 'Diesen Schritt zu einem Verfahren machen' : `Diese ${steps} Schritte zu einem Verfahren machen`),
    inline: (procedure) => `Die Schritte von '${procedure}' hier ausschreiben`,
    fix: fixInGerman,
  },

  progress: {
    checking: 'Verfahren werden geprüft',
    of: (done, all) => `${done} von ${all}`,
  },
};

/** A number with the comma that German has. */
function comma(number: string): string {
  return number.replace('.', ',');
}

/** `DC voltage`, `a gauge pressure`: what is not known stays as it is. */
function quantityInGerman(title: string): string {
  const known = QUANTITIES[title.replace(/^an? /, '').toLowerCase()];
  return known ?? title;
}

const QUANTITIES: Readonly<Record<string, string>> = {
  'dc voltage': 'Gleichspannung', 'ac voltage': 'Wechselspannung', 'dc current': 'Gleichstrom', 'ac current': 'Wechselstrom',
  resistance: 'Widerstand', continuity: 'Durchgang', 'insulation resistance': 'Isolationswiderstand', capacitance: 'Kapazität', frequency: 'Frequenz',
  'duty cycle': 'Tastgrad', temperature: 'Temperatur', 'temperature difference': 'Temperaturdifferenz', pressure: 'Druck', vacuum: 'Unterdruck',
  torque: 'Drehmoment', force: 'Kraft', length: 'Länge', depth: 'Tiefe', mass: 'Masse', volume: 'Volumen', 'flow rate': 'Durchfluss',
  'rotational speed': 'Drehzahl', speed: 'Geschwindigkeit', angle: 'Winkel', time: 'Zeit', charge: 'Ladung', power: 'Leistung', ratio: 'Verhältnis',
  'relative density': 'Relative Dichte', illuminance: 'Beleuchtungsstärke', 'sound level': 'Schallpegel', count: 'Anzahl',
  voltage: 'Spannung', current: 'Stromstärke', energy: 'Energie', inductance: 'Induktivität', conductance: 'Leitwert', density: 'Dichte', area: 'Fläche',
  'gauge pressure': 'Überdruck', 'absolute pressure': 'Absolutdruck', 'pressure difference': 'Druckdifferenz', 'pressure rate': 'Druckänderung je Zeit',
  acceleration: 'Beschleunigung', 'mass flow': 'Massenstrom', stiffness: 'Steifigkeit', 'kinematic viscosity': 'kinematische Viskosität',
  'resistance per length': 'Widerstand je Länge', resistivity: 'spezifischer Widerstand', 'voltage per length': 'Spannung je Länge',
  'resistance per voltage': 'Widerstand je Spannung', 'plain number or ratio': 'Zahl oder Verhältnis', 'quantity of no kind a shop measures': 'Größe, die keine Werkstatt misst',
};
