/** Words and numbers of a run in German: limits, quantities, the decimal comma. See run-in-german.ts. */

/** Numbers with the decimal comma: '11.8 V' → '11,8 V'. Names such as `pin 1.2.3` and dates stay. */
export function decimalComma(text: string): string {
  return text.replace(/(?<![\w.,])([-\u2212]?\d+)\.(\d+)(?![\w.]*\.\d)(?!\w)/g, '$1,$2');
}

/** A limit in words: 'at least 23.6 V (supply - 1.5 V)' → 'mindestens 23,6 V (supply - 1,5 V)'. */
export function limitInGerman(words: string): string {
  const number = decimalComma(words);
  return answerInGerman(number)
    .replace(/\b(at least|at most|above|below|equal to)(?= )/gi, (word) => likeFirst(word, COMPARED[word.toLowerCase()] ?? word))
    .replace(/\b(between)( .+?) and (?=[^ ])/gi, (_, word: string, low: string) => `${likeFirst(word, 'zwischen')}${low} und `)
    .replace(/ and (?=mindestens|höchstens|über|unter|gleich|zwischen)/g, ' und ')
    .replace(/ at (?=[a-zäöü\ue100-\uf8ff])/g, ' an ')
    // A lamp's words at two points.
    .replace(/( an [^,]*?) and (?=\S+ an )/g, '$1 und ')
    .replace(/^anything else$/i, (word) => likeFirst(word, 'alles andere'))
    .replace(/overload \(OL\)/gi, (word) => likeFirst(word, 'Überlauf (OL)'));
}

/** An answer: 'yes' and its like, and how a procedure that was run ended. Everything else is the procedure's own. */
export function answerInGerman(words: string): string {
  return words
    .replace(/^(finds|raised)(?=:? )/i, (word) => likeFirst(word, word.toLowerCase() === 'finds' ? 'findet' : 'Mangel'))
    .replace(/^(open|otherwise|yes|no|passed|referred|found|not found)$/i, (word) => likeFirst(word, ANSWERS[word.toLowerCase()] ?? word));
}

/** 'DC voltage, range 60 V' → 'Gleichspannung, Messbereich 60 V'. */
export function quantityInGerman(text: string): string {
  for (const [english, german] of GERMAN_QUANTITIES) {
    if (text === english) return german;
    if (text.startsWith(`${english}, `)) {
      return `${german}, ${text.slice(english.length + 2).replace(/^range (.+)$/, (_, range: string) => `Messbereich ${decimalComma(range)}`)}`;
    }
  }
  return text;
}

const COMPARED: Readonly<Record<string, string>> = {
  'at least': 'mindestens', 'at most': 'höchstens', above: 'über', below: 'unter', 'equal to': 'gleich',
};

const ANSWERS: Readonly<Record<string, string>> = {
  yes: 'ja', no: 'nein', otherwise: 'alles andere', open: 'Überlauf (OL)', passed: 'bestanden', referred: 'weitergegeben',
  found: 'gefunden', 'not found': 'nicht gefunden',
};

/** With a large first letter where the English word had one. */
function likeFirst(english: string, german: string): string {
  return /^\p{Lu}/u.test(english) ? german.charAt(0).toUpperCase() + german.slice(1) : german;
}

/** 'DC voltage', the longest first, so that none is taken for the beginning of another. */
const GERMAN_QUANTITIES: readonly (readonly [english: string, german: string])[] = ([
  ['DC voltage', 'Gleichspannung'], ['AC voltage', 'Wechselspannung'], ['DC current', 'Gleichstrom'], ['AC current', 'Wechselstrom'],
  ['Resistance', 'Widerstand'], ['Continuity', 'Durchgang'], ['Insulation resistance', 'Isolationswiderstand'],
  ['Capacitance', 'Kapazität'], ['Frequency', 'Frequenz'], ['Duty cycle', 'Tastgrad'], ['Temperature', 'Temperatur'],
  ['Temperature difference', 'Temperaturdifferenz'], ['Pressure', 'Druck'], ['Vacuum', 'Unterdruck'], ['Torque', 'Drehmoment'],
  ['Force', 'Kraft'], ['Length', 'Länge'], ['Depth', 'Tiefe'], ['Mass', 'Masse'], ['Volume', 'Volumen'], ['Flow rate', 'Durchfluss'],
  ['Rotational speed', 'Drehzahl'], ['Speed', 'Geschwindigkeit'], ['Angle', 'Winkel'], ['Time', 'Zeit'], ['Charge', 'Ladung'],
  ['Power', 'Leistung'], ['Ratio', 'Verhältnis'], ['Relative density', 'Relative Dichte'], ['Illuminance', 'Beleuchtungsstärke'],
  ['Sound level', 'Schallpegel'], ['Count', 'Anzahl'], ['Reading', 'Messwert'],
] as const).slice().sort((one, other) => other[0].length - one[0].length);

/** A quantity inside a sentence: 'insulation resistance'. */
export function quantityInside(text: string | undefined): string {
  const found = GERMAN_QUANTITIES.find(([english]) => english.toLowerCase() === (text ?? '').toLowerCase());
  return found ? found[1] : (text ?? '');
}
