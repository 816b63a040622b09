/**
 * Each shape of sentence that a run makes, and how it is said in German. The first that fits
 * counts; what stands in a group is a name, a number or the procedure's own text.
 */
import { GERMAN_FILE_SENTENCES } from './run-in-german-files.ts';
import { KEEPING_SENTENCES } from './run-in-german-keeping.ts';
import { decimalComma, limitInGerman, quantityInGerman, quantityInside } from './run-in-german-words.ts';

/**
 * A sentence of the run in German. `undefined` where it is none of the run's own shapes: then it is the procedure's text, and is
 * shown as it stands.
 */
export function sentenceInGerman(text: string): string | undefined {
  for (const [shape, german] of ALL_SENTENCES) {
    const match = shape.exec(text);
    if (match !== null) return german(...match.slice(1).map((part) => part ?? ''));
  }
  return undefined;
}

type Shape = readonly [shape: RegExp, german: (...parts: string[]) => string];

/** Words joined with 'and' or 'or', of which the last join is put into German. */
const list = (text: string): string => text.replace(/ (and|or) (?!.* (?:and|or) )/, (_, word: string) => (word === 'and' ? ' und ' : ' oder '));
/** A sentence inside another, or as it stands. */
const inner = (text: string): string => sentenceInGerman(text) ?? text;
const number = decimalComma;
const limit = limitInGerman;
const LIMIT = '(?:at least|at most|above|below|equal to|between) .+?|overload \\(OL\\)|anything else';
const GRADE: Readonly<Record<string, string>> = { minor: 'geringer Mangel', major: 'erheblicher Mangel', dangerous: 'gefährlicher Mangel' };
const CONDITION: Readonly<Record<string, string>> = { draft: 'Entwurf', 'in review': 'in Prüfung', withdrawn: 'zurückgezogen', 'no status': 'ohne Status' };

/** What follows from a result, after the colon of a judgement. */
function consequence(text: string): string {
  const only = /^(.*), the only one left$/.exec(text);
  if (only) return `${only[1] ?? ''}, der einzige, der bleibt`;
  const defect = /^(.*), (?:(minor|major|dangerous) defect|a defect)$/.exec(text);
  if (defect) return `${defect[1] ?? ''}, ${GRADE[defect[2] ?? ''] ?? 'ein Mangel'}`;
  const rulesOut = /^rules out (.*)$/.exec(text);
  if (rulesOut) return `schließt aus: ${list(rulesOut[1] ?? '')}`;
  const leaves = /^leaves (.*)$/.exec(text);
  if (leaves) return `es bleibt: ${list(leaves[1] ?? '')}`;
  return text;
}

/** What an ending means for the use of the asset: some of these sentences, one behind the other. */
function useInGerman(text: string): string {
  return USE.reduce((words, [shape, german]) => words.replace(shape, (...given: unknown[]) => german(...given.slice(1).map(String))), text);
}

const USE: readonly Shape[] = [
  [/Dangerous: (.*?)\. The asset must not be used or driven until this is repaired\./, (which) => `Gefährlich: ${list(which ?? '')}. Bis das behoben ist, darf die Anlage nicht benutzt oder gefahren werden.`],
  [/Major: (.*?)\. The asset is not to be used or driven until this is repaired\./, (which) => `Erheblich: ${list(which ?? '')}. Bis das behoben ist, soll die Anlage nicht benutzt oder gefahren werden.`],
  [/Without a grade: (.*?)\. The asset is not to be used until the person responsible has graded it\./,
    (which) => `Nicht eingestuft: ${list(which ?? '')}. Bis die verantwortliche Person es eingestuft hat, soll die Anlage nicht benutzt werden.`],
  [/Minor: (.*?)\. By this alone it might be used; repair is due\./, (which) => `Gering: ${list(which ?? '')}. Allein deswegen dürfte sie benutzt werden; die Reparatur steht an.`],
  [/Minor: (.*?)\. The asset may be used; repair is due\./, (which) => `Gering: ${list(which ?? '')}. Die Anlage darf benutzt werden; die Reparatur steht an.`],
  [/No defect found by this inspection\. It speaks of what it looked at, and of nothing else\./, () => 'Bei dieser Prüfung wurde kein Mangel gefunden. Sie spricht von dem, was sie angesehen hat, und von nichts anderem.'],
  [/Referred, not passed\./, () => 'Weitergegeben, nicht bestanden.'],
  [/The inspection did not come to its end: it does not show that the asset is safe to use or to work on\./,
    () => 'Die Prüfung kam nicht an ihr Ende: Sie zeigt nicht, dass die Anlage sicher zu benutzen oder daran sicher zu arbeiten ist.'],
  [/Do not go on as if it had passed until what it was referred for is settled\./, () => 'Nicht weitermachen, als wäre sie bestanden, bevor geklärt ist, weswegen weitergegeben wurde.'],
  [/Not completed\. Nothing was shown about its use\./, () => 'Nicht zu Ende geführt. Über die Benutzung ist nichts gezeigt.'],
  [/The procedure gave no way on: tell who wrote it\./, () => 'Das Verfahren gab keinen Weg weiter an: die Person verständigen, die es geschrieben hat.'],
  [/Referred: the cause is not yet found, and the fault remains\. The person responsible says whether the asset may be used\./,
    () => 'Weitergegeben: Die Ursache ist noch nicht gefunden, und der Fehler bleibt. Die verantwortliche Person sagt, ob die Anlage benutzt werden darf.'],
  [/Repaired, and the repair proved by the steps of the procedure\./, () => 'Repariert, und die Reparatur durch die Schritte des Verfahrens nachgewiesen.'],
  [/Repaired, and the repair not proved\./, () => 'Repariert, und die Reparatur nicht nachgewiesen.'],
  [/No fault found by this procedure\./, () => 'Dieses Verfahren hat keinen Fehler gefunden.'],
  [/Not repaired: (.*?) remains\./, (fault) => `Nicht repariert: ${fault} bleibt.`],
  [/It is dangerous: the asset must not be used or driven until it is repaired\./, () => 'Das ist gefährlich: Bis es behoben ist, darf die Anlage nicht benutzt oder gefahren werden.'],
  [/It is a major defect: the asset is not to be used or driven until it is repaired\./, () => 'Das ist ein erheblicher Mangel: Bis er behoben ist, soll die Anlage nicht benutzt oder gefahren werden.'],
  [/It is a minor defect: the asset may be used; repair is due\./, () => 'Das ist ein geringer Mangel: Die Anlage darf benutzt werden; die Reparatur steht an.'],
  [/The person responsible says whether the asset may be used\./, () => 'Die verantwortliche Person sagt, ob die Anlage benutzt werden darf.'],
];

const after = (text: string): string => (text === '' ? '' : `: ${consequence(text)}`);

const GERMAN_SENTENCES: readonly Shape[] = [
  // Where one is, and what happens next.
  [/^not begun$/, () => 'nicht begonnen'],
  [/^at the end$/, () => 'am Ende'],
  [/^step (\d+) of about (\d+), in it (.*)$/, (step, last, rest) => `Schritt ${step} von etwa ${last}, darin ${inner(rest ?? '')}`],
  [/^step (\d+) of about (\d+)$/, (step, last) => `Schritt ${step} von etwa ${last}`],
  [/^Begin$/, () => 'Beginnen'],
  [/^Resume$/, () => 'Weitermachen'],
  [/^I have read the caution$/, () => 'Ich habe die Warnung gelesen'],
  [/^I have read the cautions$/, () => 'Ich habe die Warnungen gelesen'],
  [/^Put back$/, () => 'Wiederhergestellt'],
  [/^It is so$/, () => 'Es ist so'],
  [/^Enter$/, () => 'Eintragen'],
  [/^Answer$/, () => 'Antworten'],
  [/^Entry (\d+) does not fit the new text: (.*)$/, (entry, why) => `Eintrag ${entry} passt nicht zum neuen Text: ${inner(why ?? '')}`],
  [/^Judge the reading$/, () => 'Messwert bewerten'],
  [/^Remedy carried out$/, () => 'Abhilfe ausgeführt'],
  [/^Write the record$/, () => 'Protokoll schreiben'],
  [/^Done, on to step (\d+): (.*)$/, (step, title) => `Getan, weiter mit Schritt ${step}: ${title}`],
  [/^[Dd]one$/, () => 'Getan'],
  [/^go to step (\w+)$/, (step) => `weiter mit Schritt ${step}`],
  [/^the next step$/, () => 'der nächste Schritt'],
  [/^passes$/, () => 'bestanden'],
  [/^no way on$/, () => 'kein Weg weiter'],

  // Warnings of a step.
  [/^By what was done so far, (.*) is live\. Do not connect the instrument: isolate it first\.$/,
    (circuit) => `Nach dem, was bisher getan wurde, steht ${circuit} unter Spannung. Das Messgerät nicht anschließen: zuerst freischalten.`],
  [/^By what was done so far, it is not certain that (.*) is dead\. Make sure of it before the instrument is connected\.$/,
    (circuit) => `Nach dem, was bisher getan wurde, ist nicht sicher, dass ${circuit} spannungsfrei ist. Das feststellen, bevor das Messgerät angeschlossen wird.`],
  [/^By what was done so far, (.*) is dead: a reading there says nothing about it\.$/,
    (circuit) => `Nach dem, was bisher getan wurde, ist ${circuit} spannungsfrei: Ein Messwert dort sagt nichts darüber.`],
  [/^(.*) cannot show that (.*) is dead\. (?:Only a voltage can|It is a circuit of (AC|DC))\. Do not go on as if it were dead, and tell who wrote the procedure\.$/,
    (quantity, circuit, kind) => `${quantity}: zeigt nicht, dass ${circuit} spannungsfrei ist. ${kind === '' ? 'Das zeigt nur eine Spannung.' : `Es ist ein ${kind}-Stromkreis.`} Nicht weitermachen, als wäre er spannungsfrei, und dem Verfasser Bescheid geben.`],
  [/^(.*): the reading shows voltage, and (.*) is not proved dead\. The procedure does not say what follows: stop, touch nothing, and tell who wrote it\.$/,
    (points, circuit) => `${list(points ?? '')}: Der Messwert zeigt Spannung, ${circuit} ist nicht als spannungsfrei nachgewiesen. Das Verfahren sagt nicht, was folgt: anhalten, nichts berühren, dem Verfasser Bescheid geben.`],
  [/^One point without voltage does not show that (.*) is dead\. Stop, touch nothing, and tell who wrote the procedure\.$/,
    (circuit) => `Eine Stelle ohne Spannung zeigt nicht, dass ${circuit} spannungsfrei ist. Anhalten, nichts berühren, dem Verfasser Bescheid geben.`],
  [/^What was entered rules out every fault that this procedure knows\. Look through the entries; one may be wrong\.$/,
    () => 'Was eingetragen wurde, schließt jeden Fehler aus, den dieses Verfahren kennt. Die Einträge durchsehen; einer kann falsch sein.'],
  [/^Step (\d+), (.*), has no wait\.$/, (step, title) => `Schritt ${step}, ${title}, hat keine Wartezeit.`],
  [/^Step (\d+), (.*), wants (an entry|a reading|no reading|an answer|no answer)\.$/, (step, title, what) => `Schritt ${step}, ${title}, will ${WANTED[what ?? ''] ?? what}.`],
  [/^The entry is for step (.*), and the step at hand is (.*)\.$/, (one, other) => `Der Eintrag ist für den Schritt ${one}, und vorliegend ist ${other}.`],
  [/^There is no step here(?: with cautions| that needs states)?\.$/, () => 'Hier ist kein Schritt, zu dem das gehört.'],
  [/^Nothing needs to be brought about here\.$/, () => 'Hier ist nichts herzustellen.'],
  [/^No fault has been found, so there is no remedy to report\.$/, () => 'Es ist kein Fehler gefunden, also keine Abhilfe zu melden.'],
  [/^The time of the event is not in the form (.*)\.$/, (form) => `Die Zeit des Ereignisses hat nicht die Form ${form}.`],
  [/^This step takes (\d+) people\.$/, (count) => `Dieser Schritt braucht ${count} Personen.`],

  // Standing of the procedure.
  [/^This procedure is a draft\. It has not been released for work\.$/, () => 'Dieses Verfahren ist ein Entwurf. Es ist nicht zur Arbeit freigegeben.'],
  [/^This procedure is in review\. It has not been released for work\.$/, () => 'Dieses Verfahren ist in Prüfung. Es ist nicht zur Arbeit freigegeben.'],
  [/^This procedure is withdrawn\. Do not work by it\.$/, () => 'Dieses Verfahren ist zurückgezogen. Nicht danach arbeiten.'],
  [/^This procedure does not say that it is released for work\.$/, () => 'Dieses Verfahren sagt nicht, dass es zur Arbeit freigegeben ist.'],
  [/^It runs (?:a procedure that is|procedures that are) not released: (.*)\.$/,
    (which) => `Es führt aus, was nicht freigegeben ist: ${list(which ?? '').replace(/\((draft|in review|withdrawn|no status)\)/g, (_, word: string) => `(${CONDITION[word] ?? word})`)}.`],
  [/^1 error stands against this procedure\. It may be wrong or unsafe\.$/, () => 'Gegen dieses Verfahren steht 1 Fehler. Es kann falsch oder unsicher sein.'],
  [/^(\d+) errors stand against this procedure\. It may be wrong or unsafe\.$/, (count) => `Gegen dieses Verfahren stehen ${count} Fehler. Es kann falsch oder unsicher sein.`],
  [/^Follow the maker's data, local codes and the rules of the shop\. Where they differ from this checklist, they hold\.$/,
    () => 'Die Angaben des Herstellers, die örtlichen Vorschriften und die Regeln der Werkstatt befolgen. Wo sie von dieser Prüfliste abweichen, gelten sie.'],
  [/^Work on high voltage, refrigerant, gas, brakes and restraint systems is for qualified people\.$/,
    () => 'Arbeit an Hochvolt, Kältemittel, Gas, Bremsen und Rückhaltesystemen ist Sache befähigter Personen.'],
  [/^A clean check does not make a procedure safe by itself\. Stop where something is not as it is described here\.$/,
    () => 'Eine Prüfung ohne Befund macht ein Verfahren noch nicht sicher. Anhalten, wo etwas nicht so ist, wie es hier steht.'],

  // Remarks that stand behind a judgement.
  [/^(.+) (Too close to call with this instrument, .*)$/, (before, close) => `${inner(before ?? '')} ${inner(close ?? '')}`],
  [/^(.+) (Look again at .*)$/, (before, again) => `${inner(before ?? '')} ${inner(again ?? '')}`],
  [/^(.+) (The calibration of the instrument ended on .*)$/, (before, ended) => `${inner(before ?? '')} ${inner(ended ?? '')}`],
  [/^(.+) (Entered .+ after the (?:step came up|wait began); .*)$/, (before, rest) => `${inner(before ?? '')} ${inner(rest ?? '')}`],
  [/^(.+) (The wait of .+ was said to have been kept before; .*)$/, (before, rest) => `${inner(before ?? '')} ${inner(rest ?? '')}`],
  [/^(.+) (Found by elimination, though not ruled out: .*)$/, (before, rest) => `${inner(before ?? '')} ${inner(rest ?? '')}`],
  [/^Too close to call with this instrument, which reads to ±(.+?): it may also be (.*)\.$/,
    (width, others) => `Mit diesem Messgerät, das auf ±${number(width ?? '')} genau anzeigt, nicht zu entscheiden: Es kann auch sein: ${list(limit(others ?? ''))}.`],
  [/^Look again at (.+?): it is more than (this range|the instrument) shows, (.+)\. Correct it where the decimal point or the unit was mistyped\.$/,
    (what, which, most) => `${number(what ?? '')} noch einmal ansehen: Das ist mehr, als ${which === 'this range' ? 'dieser Messbereich' : 'das Messgerät'} anzeigt, ${number(most ?? '')}. Berichtigen, wo Komma oder Einheit vertippt ist.`],
  [/^The calibration of the instrument ended on (.*)\.$/, (date) => `Die Kalibrierung des Messgeräts lief am ${date} ab.`],
  [/^Entered (.+) after the step came up; the wait is (.+)\.$/, (took, wait) => `${took} nach Beginn des Schritts eingetragen; die Wartezeit ist ${wait}.`],
  [/^Entered (.+) after the wait began; the wait is (.+)\.$/, (took, wait) => `${took} nach Beginn der Wartezeit eingetragen; sie dauert ${wait}.`],
  [/^The wait of (.+) was said to have been kept before; it was not counted here\.$/, (wait) => `Die Wartezeit von ${wait} wurde nach Angabe vorher eingehalten; hier wurde sie nicht gezählt.`],
  [/^Done again after (.+); the rest is (.+)\.$/, (took, rest) => `Nach ${took} wiederholt; die Pause ist ${rest}.`],
  [/^Found by elimination, though not ruled out: (.*)\.$/, (titles) => `Durch Ausschluss gefunden, obwohl nicht ausgeschlossen: ${list(titles ?? '')}.`],
  [/^Event (\d+) is dated (\d+) s before the one it follows: a clock was set back\.$/, (event, by) => `Ereignis ${event} liegt ${by} s vor dem, dem es folgt: Eine Uhr wurde zurückgestellt.`],

  // What was entered, and what it came to; where each point takes its own result, one sentence behind the other.
  [/^(.+? is .+?\.) ((?:[\ue100-\uf8ff]|[^.,]+), [^,]+, is .*)$/, (first, rest) => `${inner(first ?? '')} ${inner(rest ?? '')}`],
  [/^(.+), noted\.$/, (what) => `${number(what ?? '')}, vermerkt.`],
  [/^Found at (.+?): (.+?), ((?:at least|at most|above|below|equal to|between) .+?)(?:: (.*))?\.$/,
    (point, reading, bound, rest) => `Gefunden an ${point}: ${number(reading ?? '')}, ${limit(bound ?? '')}${after(rest ?? '')}.`],
  [/^None of the (\d+) points is (.+?)(?:: (.*))?\.$/, (count, bound, rest) => `Keine der ${count} Stellen ist ${limit(bound ?? '')}${after(rest ?? '')}.`],
  [/^none of (\d+) points$/, (count) => `keine von ${count} Stellen`],
  [/^the (highest|lowest|mean|spread), (.*)$/i, (which, rest) => inner(`${JUDGED[(which ?? '').toLowerCase()] ?? which}, ${(rest ?? '').replace(/^([^,]+?) at ([^,]+),/, '$1 an $2,')}`)],
  [new RegExp(`^(.+) meets (\\d+) results of this step \\((.*)\\)\\. The procedure contradicts itself here: stop, and tell who wrote it\\.$`),
    (what, count, which) => `${number(what ?? '')} erfüllt ${count} Ergebnisse dieses Schritts (${limit(which ?? '')}). Das Verfahren widerspricht sich hier: anhalten und die Person verständigen, die es geschrieben hat.`],
  [/^(.+) meets no result of this step \((.*)\)\. Check the reading\. If it is right, the procedure has a gap here: stop, and tell who wrote it\.$/,
    (what, which) => `${number(what ?? '')} erfüllt kein Ergebnis dieses Schritts (${limit(which ?? '')}). Den Messwert prüfen. Stimmt er, hat das Verfahren hier eine Lücke: anhalten und die Person verständigen, die es geschrieben hat.`],
  [/^It needs (.*), which (?:was|were) not read on this walk\. Go back and take the reading, or stop and tell who wrote the procedure\.$/,
    (names) => `Es braucht ${list(names ?? '')}, und das wurde auf diesem Weg nicht abgelesen. Zurückgehen und messen, oder anhalten und die Person verständigen, die es geschrieben hat.`],
  [/^The limit needs (.*), which is not known\. Give it first\.$/, (names) => `Der Grenzwert braucht ${list(names ?? '')}, und das ist nicht bekannt. Zuerst angeben.`],
  [new RegExp(`^(.+?) is not (${LIMIT})(?:: (.*))?\\.?$`), (what, bound, rest) => `${number(what ?? '')} ist nicht ${limit(bound ?? '')}${after(rest ?? '')}.`],
  [/^(.+?) is outside the other limits \((.*?)\)(?:: (.*))?\.$/, (what, bounds, rest) => `${number(what ?? '')} liegt außerhalb der anderen Grenzwerte (${limit(bounds ?? '')})${after(rest ?? '')}.`],
  [new RegExp(`^(.+?) is (${LIMIT})(?:: (.*))?\\.$`), (what, bound, rest) => `${number(what ?? '')} ist ${limit(bound ?? '')}${after(rest ?? '')}.`],
  [/^([^:]+?) is ([^:]+): (rules out .*?|leaves .*?)(\.?)$/, (what, value, rest, stop) => `${what} ist ${value}${after(rest ?? '')}${stop}`],
  [/^([\ue100-\uf8ff]|[A-Z][\w -]{0,60}) is ([\w°., \u202f-]{1,60}?)(\.?)$/, (what, value, stop) => `${what} ist ${number(value ?? '')}${stop}`],
  [/^([^:]+): (rules out .*?|leaves .*?|.*, the only one left|.*, (?:(?:minor|major|dangerous) defect|a defect))(\.?)$/,
    (what, rest, stop) => `${limit(what ?? '')}${after(rest ?? '')}${stop}`],
  [/^(Yes|No)((?:: .*)?)\.$/, (what, rest) => `${limit(what ?? '')}${rest}.`],
  [/^passed over: it was done (once|(\d+) times), which is as often as it may be$/,
    (once, times) => `übergangen: Es wurde ${once === 'once' ? 'einmal' : `${times}-mal`} getan, und öfter darf es nicht sein`],
  [/^passed over: (.*) is not (.*)$/, (what, values) => `übergangen: ${what} ist nicht ${list(values ?? '')}`],
  [/^passed over: (.*)$/, (because) => `übergangen: ${because}`],
  [/^decided: (.*) is (.*)$/, (what, value) => `entschieden: ${what} ist ${number(value ?? '')}`],
  [/^decided: (.*)$/, (what) => `entschieden: ${number(what ?? '')}`],
  [/^seen to: (.*)$/, (what) => `hergestellt: ${list(what ?? '')}`],
  [/^remedy (carried out|left for later)(?:: (.*))?$/, (which, text) => `Abhilfe ${which === 'carried out' ? 'ausgeführt' : 'bleibt für später'}${text ? `: ${text}` : ''}`],

  // Endings.
  [/^No fault found\.$/, () => 'Kein Fehler gefunden.'],
  [/^Inspection complete\. No defect found\.$/, () => 'Prüfung vollständig. Kein Mangel gefunden.'],
  [/^Inspection complete\. (\d+) defects? found\.$/, (count) => `Prüfung vollständig. ${count === '1' ? '1 Mangel' : `${count} Mängel`} gefunden.`],
  [/^Found: (.*)\. The remedy has not been carried out\.$/, (fault) => `Gefunden: ${fault}. Die Abhilfe ist nicht ausgeführt.`],
  [/^Found: (.*)\. The remedy was carried out; the procedure gives no proof of it\.$/, (fault) => `Gefunden: ${fault}. Die Abhilfe wurde ausgeführt; das Verfahren weist sie nicht nach.`],
  [/^Found and repaired: (.*)\. The repair is proved\.$/, (fault) => `Gefunden und repariert: ${fault}. Die Reparatur ist nachgewiesen.`],
  [/^Refer to someone who can go on\.$/, () => 'An jemanden weitergeben, der weitermachen kann.'],
  [/^Stopped before an ending: (.*)$/, (reason) => `Vor einem Ende abgebrochen: ${inner(reason ?? '')}`],
  [/^Step (\d+), (.*), does not say how to go on\.$/, (step, title) => `Schritt ${step}, ${title}, sagt nicht, wie es weitergeht.`],
  [/^The procedure does not say how to go on\.$/, () => 'Das Verfahren sagt nicht, wie es weitergeht.'],
  [/^(.*) has no step to go on with\.$/, (title) => `${title} hat keinen Schritt, mit dem es weiterginge.`],
  [/^The procedure goes round in circles without asking for anything\.$/, () => 'Das Verfahren geht im Kreis, ohne etwas zu fragen.'],
  [/^(.*) runs itself without end\.$/, (title) => `${title} führt sich selbst ohne Ende aus.`],
  [/^Step (\d+), (.*), cannot be decided\. (.*)$/, (step, title, why) => `Schritt ${step}, ${title}, ist nicht zu entscheiden. ${inner(why ?? '')}`],
  [/^((?:Dangerous|Major|Minor|Without a grade|Not repaired|Referred|Referred, not passed|Repaired, and|Not completed|The inspection did not|No defect found by|No fault found by).*)$/s, useInGerman],
  [/^The procedure gave no way on: tell who wrote it\.$/, () => 'Das Verfahren gab keinen Weg weiter an: die Person verständigen, die es geschrieben hat.'],
  [/^$/, () => ''],
  [/^Carried over from (?:revision (.*?)|another text) to (?:revision (.*?)|a changed text of it|another text) on (\S+ \S+?)(?: by (.*))?\. The steps walked before are the same in both\.$/,
    (was, is, at, by) => `Übernommen von ${was ? `Revision ${was}` : 'einem anderen Text'} auf ${is ? `Revision ${is}` : 'einen geänderten Text'} am ${at}${by ? ` durch ${by}` : ''}. Die Schritte davor sind in beiden gleich.`],
  [/^How did (.*) end\?$/, (title) => `Wie ist ${title} ausgegangen?`],
  [/^(.*) passed\.$/, (title) => `${title}: bestanden.`],
  [/^(.*) (found|raised|referred): (.*)\.$/, (title, how, what) => `${title}: ${{ found: 'gefunden', raised: 'Mangel', referred: 'weitergegeben' }[how as 'found'] ?? how}: ${what}.`],

  // Refusals.
  [/^Nothing was (?:entered|typed)\.$/, () => 'Es wurde nichts eingetragen.'],
  [/^That is too long for a reading\.$/, () => 'Das ist zu lang für einen Messwert.'],
  [/^'(.*)' is not what the instrument shows\. Type (.*)\.$/, (typed, words) => `‚${typed}‘ ist nicht, was das Messgerät zeigt. Eintragen: ${list(words ?? '')}.`],
  [/^'(.*)' is not what the instrument shows\.$/, (typed) => `‚${typed}‘ ist nicht, was das Messgerät zeigt.`],
  [/^'(.*)' is no reading of (.*)\.$/, (typed, what) => `‚${typed}‘ ist kein Messwert von ${quantityInside(what)}.`],
  [/^'(.*)' is not a (?:reading|quantity)\.(?: (.*))?$/, (typed, help) => `‚${typed}‘ ist kein Messwert.${help ? ` ${inner(help)}` : ''}`],
  [/^The unit is missing\. Type it after the number, such as (.*)\.$/, (example) => `Die Einheit fehlt. Hinter die Zahl setzen, etwa ${number(example ?? '')}.`],
  [/^(.*) is not a unit of (.*)\. Type it in (.*)\.$/, (unit, what, units) => `${unit} ist keine Einheit von ${quantityInside(what)}. Eintragen in ${list(units ?? '').replace('plain numbers', 'bloßen Zahlen')}.`],
  [/^Nothing is colder than absolute zero \((.*)\)\.$/, (points) => `Nichts ist kälter als der absolute Nullpunkt (${list(points ?? '').replaceAll('.', ',')}).`],
  [/^No vacuum is deeper than the pressure of the air: about (.*)\.$/, (air) => `Kein Vakuum ist tiefer als der Luftdruck: etwa ${air}.`],
  [/^An absolute pressure cannot be negative\.$/, () => 'Ein absoluter Druck kann nicht negativ sein.'],
  [/^A reading of (.*) cannot be negative\.$/, (what) => `Ein Messwert von ${quantityInside(what)} kann nicht negativ sein.`],
  [/^A count is a whole number\.$/, () => 'Eine Anzahl ist eine ganze Zahl.'],
  [/^(.*) is at most 100 %\.$/, (what) => `${quantityInGerman(what ?? '')} ist höchstens 100 %.`],
  [/^'(.*)' is not a known unit\.(?: (.*))?$/, (unit, help) => `‚${unit}‘ ist keine bekannte Einheit.${help ? ` ${inner(help)}` : ''}`],
  [/^'(.*)' can mean (.*?)\.(?: (.*))?$/, (unit, choices, help) => `‚${unit}‘ kann ${list(choices ?? '')} heißen.${help ? ` ${inner(help)}` : ''}`],
  [/^'(.*)' after (.*) is not understood\.(?: (.*))?$/, (rest, before, help) => `‚${rest}‘ hinter ${number(before ?? '')} ist nicht verständlich.${help ? ` ${inner(help)}` : ''}`],
  [/^Did you mean '(.*)'\?$/, (near) => `Gemeint ist vielleicht ‚${near}‘.`],
  [/^Write a number and a unit(?:, such as (.*))?\.$/, (example) => `Eine Zahl und eine Einheit schreiben${example ? `, etwa ${number(example)}` : ''}.`],
  [/^Write one number and one unit\.$/, () => 'Eine Zahl und eine Einheit schreiben.'],
  [/^Write (.*)\.$/, (what) => `Schreiben: ${list(what ?? '')}.`],
  [/^'(.*)' is none of the answers here: (.*)\.$/, (typed, choices) => `‚${typed}‘ ist keine der Antworten hier: ${list(choices ?? '')}.`],
  [/^(.*) is (.*), never '(.*)'\.$/, (what, choices, typed) => `${what} ist ${list(choices ?? '')}, nie ‚${typed}‘.`],
  [/^This procedure is for (.*): (.*)\.$/, (what, choices) => `Dieses Verfahren gilt für ${what}: ${list(choices ?? '')}.`],
  [/^(.*) is a number with a unit\.$/, (what) => `${what} ist eine Zahl mit Einheit.`],
  [/^Read and acknowledge the cautions of this step first\.$/, () => 'Zuerst die Warnungen dieses Schritts lesen und bestätigen.'],
  [/^Bring about the states that this step needs, and confirm them, first\.$/, () => 'Zuerst die Zustände herstellen und bestätigen, die dieser Schritt braucht.'],
  [/^(.*) must be known first(?:: see (.*))?\.$/, (what, from) => `${what} muss zuerst bekannt sein${from ? `: siehe ${from}` : ''}.`],
  [/^Say first how (.*) is\.$/, (what) => `Zuerst angeben, wie ${what} ist.`],
  [/^Say that (.*) is (.*)\.$/, (what, values) => `Angeben, dass ${what} ${list(values ?? '')} ist.`],
  [/^A fault is found: report its remedy first\.$/, () => 'Ein Fehler ist gefunden: zuerst seine Abhilfe melden.'],
  [/^(.*) has been entered\. Correct that entry\.$/, (what) => `${what} ist eingetragen. Diesen Eintrag berichtigen.`],
  [/^The points are taken in turn: (.*) comes next\.$/, (what) => `Die Stellen kommen der Reihe nach: Als Nächstes ${what}.`],
  [/^(.*) is known already: (.*)\. Correct the entry that gave it\.$/, (what, value) => `${what} ist schon bekannt: ${number(value ?? '')}. Den Eintrag berichtigen, aus dem es stammt.`],
  [/^The run has not begun\.$/, () => 'Der Lauf hat nicht begonnen.'],
  [/^The run has begun already\.$/, () => 'Der Lauf hat schon begonnen.'],
  [/^The run is over\. (?:Begin a new one|Nothing in it can be corrected)\.$/, () => 'Der Lauf ist zu Ende. Einen neuen beginnen.'],
  [/^The run is paused\. Resume it first\.$/, () => 'Der Lauf ist unterbrochen. Zuerst weitermachen.'],
  [/^The run is not paused\.$/, () => 'Der Lauf ist nicht unterbrochen.'],
  [/^The run has come to its ending\. Nothing more can be entered\.$/, () => 'Der Lauf ist an seinem Ende. Es kann nichts mehr eingetragen werden.'],
  [/^The run has not come to an ending\. Stop it, with a reason, to leave it now\.$/, () => 'Der Lauf ist nicht an einem Ende. Mit Grund abbrechen, um ihn jetzt zu verlassen.'],
  [/^There is no entry there that still counts, so there is nothing to correct\.$/, () => 'Dort ist kein Eintrag, der noch zählt; es gibt nichts zu berichtigen.'],
  [/^This can be taken back, but not entered anew in its place\.$/, () => 'Das kann zurückgenommen, aber nicht an seiner Stelle neu eingetragen werden.'],
  [/^This entry cannot be put right so\.$/, () => 'So lässt sich dieser Eintrag nicht berichtigen.'],
  [/^The walk no longer comes to the entry\.$/, () => 'Der Weg kommt nicht mehr zu diesem Eintrag.'],
  [/^The text is longer than (\d+) characters\.$/, (count) => `Der Text ist länger als ${count} Zeichen.`],
  [/^Say to whom the run is handed over\.$/, () => 'Angeben, wem der Lauf übergeben wird.'],
  [/^Say why the run is stopped\.$/, () => 'Angeben, warum der Lauf abgebrochen wird.'],
  [/^The note is empty\.$/, () => 'Die Notiz ist leer.'],
  [/^The number of the instrument is missing\.$/, () => 'Die Nummer des Messgeräts fehlt.'],
  [/^There is a photo (.*) already\.$/, (name) => `Ein Bild ${name} gibt es schon.`],
  [/^There is no photo (.*) to take back\.$/, (name) => `Es gibt kein Bild ${name}, das zurückzunehmen wäre.`],
  [/^Say how (.*) ended: (.*)\.$/, (what, choices) => `Angeben, wie ${what} ausging: ${list(choices ?? '')}.`],
  [/^No result speaks of it: (.*)\.$/, (what) => `Kein Ergebnis spricht davon: ${what}.`],
  [/^The run was begun with (?:revision (.*?)|an earlier text) of (.*), which has been changed since(?: \(now revision (.*)\))?\. Its readings were judged by the old text: stop the run and begin a new one\.$/,
    (was, title, now) => `Der Lauf wurde mit ${was ? `Revision ${was}` : 'einem früheren Text'} von ${title} begonnen, seither geändert${now ? ` (jetzt Revision ${now})` : ''}. Die Messwerte wurden nach dem alten Text bewertet: den Lauf abbrechen und neu beginnen.`],
];

const WANTED: Readonly<Record<string, string>> = {
  'an entry': 'einen Eintrag', 'a reading': 'einen Messwert', 'no reading': 'keinen Messwert', 'an answer': 'eine Antwort', 'no answer': 'keine Antwort',
};

const ALL_SENTENCES: readonly Shape[] = [...KEEPING_SENTENCES, ...GERMAN_FILE_SENTENCES, ...GERMAN_SENTENCES];

const JUDGED: Readonly<Record<string, string>> = { highest: 'Der höchste', lowest: 'Der niedrigste', mean: 'Der mittlere', spread: 'Die Spanne' };
