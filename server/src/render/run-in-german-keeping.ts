/**
 * In German: what is said where a run is kept and opened again (the page server, pictures, a run that goes on by another text). Shapes as
 * in run-in-german-sentences.ts; what the files of a run say is in run-in-german-files.ts.
 */

type Shape = readonly [shape: RegExp, german: (...parts: string[]) => string];

/** Parts of a step, as carry-over.ts names them. */
const PARTS: Readonly<Record<string, string>> = {
  instructions: 'Anweisungen', question: 'Frage', quantity: 'Messgröße', decision: 'Entscheidung', text: 'Text', 'condition (only_if)': 'Bedingung (only_if)',
  'needed states': 'nötige Zustände', 'held states': 'gehaltene Zustände', 'states afterwards': 'Zustände danach', cautions: 'Warnungen',
  instrument: 'Messgerät', probes: 'Messspitzen', points: 'Stellen', 'way of judging': 'Art der Bewertung', search: 'Suche',
  'proof of absence of voltage': 'Nachweis der Spannungsfreiheit', results: 'Ergebnisse', way: 'Weg weiter', 'way on': 'Weg weiter',
  'longest time': 'längste Zeit', 'number of repeats': 'Zahl der Wiederholungen', qualification: 'Befähigung', circuit: 'Stromkreis', range: 'Messbereich',
  people: 'Zahl der Personen', tools: 'Werkzeug', wait: 'Wartezeit', rest: 'Pause', run: 'Verfahren, das er ausführt', kind: 'Art',
};

export const KEEPING_SENTENCES: readonly Shape[] = [
  // A run that goes on by another text, or not.
  [/^The procedure was changed while the run was unfinished\.$/, () => 'Das Verfahren wurde geändert, während der Lauf nicht beendet war.'],
  [/^The run is of (.*), and this is (.*)\.$/, (one, other) => `Der Lauf ist einer von ${one}, und dies ist ${other}.`],
  [/^The procedure has not changed: the run goes on as it is\.$/, () => 'Das Verfahren hat sich nicht geändert: Der Lauf geht weiter, wie er ist.'],
  [/^The run is over\.$/, () => 'Der Lauf ist zu Ende.'],
  [/^Step (\d+), (.*), was done and is no longer there\.$/, (step, title) => `Schritt ${step}, ${title}, wurde getan und ist nicht mehr da.`],
  [/^Step (\d+), (.*), was done and has been changed since: its (.*)\.$/,
    (step, title, part) => `Schritt ${step}, ${title}, wurde getan und ist seither geändert: ${PARTS[part ?? ''] ?? part}.`],
  [/^By the new text, what was entered leads elsewhere at step (\d*), (.*)\.$/, (step, title) => `Nach dem neuen Text führt, was eingetragen wurde, bei Schritt ${step}, ${title}, anderswohin.`],
  [/^By the new text, the run stands in another procedure\.$/, () => 'Nach dem neuen Text steht der Lauf in einem anderen Verfahren.'],
  [/^By the new text, the state (.*) is not what it was\.$/, (state) => `Nach dem neuen Text ist der Zustand ${state} nicht, was er war.`],
  [/^The fault (.*) was still possible, and is not by the new text\.$/, (fault) => `Der Fehler ${fault} war noch möglich und ist es nach dem neuen Text nicht.`],
  [/^The fault (.*) was ruled out, and is not by the new text\.$/, (fault) => `Der Fehler ${fault} war ausgeschlossen und ist es nach dem neuen Text nicht.`],

  // The page server.
  [/^This run was gone on with elsewhere\. The entry was not taken\. Open the run again to see where it stands\.$/,
    () => 'Dieser Lauf ging anderswo weiter. Der Eintrag wurde nicht genommen. Den Lauf neu öffnen, um zu sehen, wo er steht.'],
  [/^Entries before this one are missing: (\d+) of (\d+) are written down\. Open the run again to see where it stands\.$/,
    (there, all) => `Davor fehlen Einträge: ${there} von ${all} sind festgehalten. Den Lauf neu öffnen, um zu sehen, wo er steht.`],
  [/^This run is of another procedure\.$/, () => 'Dieser Lauf gehört zu einem anderen Verfahren.'],
  [/^This run is not under way here\. It was finished or given up elsewhere, or it was never begun\. Begin a new one\.$/,
    () => 'Dieser Lauf ist hier nicht im Gang. Er wurde anderswo beendet oder aufgegeben, oder nie begonnen. Einen neuen beginnen.'],
  [/^This run is not under way here\. It is over, and its record is written\. Begin a new one\.$/,
    () => 'Dieser Lauf ist hier nicht im Gang. Er ist zu Ende, und sein Protokoll ist geschrieben. Einen neuen beginnen.'],
  [/^(.*) is being worked on: (.*), begun(?: by (.*))? at (\S+), last entry (.*) ago\. A second run on it would not know what the first has done to it\. Go on with that run from the first sheet of its procedure, or pause or stop it there first\.$/,
    (asset, title, by, at, ago) => `An ${asset} wird gearbeitet: ${title}, begonnen${by ? ` von ${by}` : ''} um ${at}, letzter Eintrag vor ${ago}. `
      + 'Ein zweiter Lauf daran wüsste nicht, was der erste damit getan hat. Mit jenem Lauf vom ersten Blatt seines Verfahrens weitermachen, oder ihn dort zuerst unterbrechen oder abbrechen.'],
  [/^That procedure is not here any more\. Go back to the list of procedures\.$/, () => 'Dieses Verfahren ist nicht mehr hier. Zurück zur Liste der Verfahren.'],
  [/^Open the address with its key, as it was printed when the server was started, or scan its code again\.$/,
    () => 'Die Adresse mit ihrem Schlüssel öffnen, wie sie beim Start gedruckt wurde, oder ihren Code neu scannen.'],
  [/^Something went wrong on the machine that serves this page\. Nothing entered before is lost\.$/,
    () => 'Auf dem Rechner, der diese Seite bereitstellt, ging etwas schief. Nichts zuvor Eingetragenes ist verloren.'],
  [/^The request is too large\.$/, () => 'Das ist zu groß, um es zu senden.'],

  // Pictures.
  [/^The picture (.*) is not kept here as it was taken\. Add it again\.$/, (name) => `Das Bild ${name} liegt hier nicht so, wie es aufgenommen wurde. Noch einmal hinzufügen.`],
  [/^There is a picture (.*) of this run already\. Load the page again\.$/, (name) => `Ein Bild ${name} dieses Laufs gibt es schon. Die Seite neu laden.`],
  [/^The picture has a name that is not taken here\.$/, () => 'Das Bild hat einen Namen, der hier nicht genommen wird.'],
  [/^The picture is too large\. Take one of at most (\d+) megabytes\.$/, (most) => `Das Bild ist zu groß. Eines von höchstens ${most} Megabyte nehmen.`],
  [/^That is no picture in JPEG\.$/, () => 'Das ist kein Bild in JPEG.'],
  [/^This run has (\d+) pictures\. No more are kept\.$/, (count) => `Dieser Lauf hat ${count} Bilder. Mehr werden nicht aufbewahrt.`],
  [/^A photo is given by its file name alone, without a folder\.$/, () => 'Ein Bild wird mit seinem Dateinamen allein angegeben, ohne Ordner.'],

  // Records.
  [/^The journal (.*) holds an event that the run could not have taken \(event (\d+): (.*)\)\. It is kept as it is\.$/,
    (path, event, why) => `Das Journal ${path} enthält ein Ereignis, das der Lauf nicht hätte nehmen können (Ereignis ${event}: ${why}). Es bleibt, wie es ist.`],
  [/^The run has not come to an end, so it has no record yet\. Finish it, or stop it with a reason\.$/,
    () => 'Der Lauf ist nicht an seinem Ende und hat noch kein Protokoll. Beenden, oder mit Grund abbrechen.'],
  [/^The record (.*) is of another run and has the name that this one would get\. Move it away\. Nothing is lost: this run is kept in its journal\.$/,
    (path) => `Das Protokoll ${path} ist von einem anderen Lauf und hat den Namen, den dieses bekäme. Es wegschieben. Nichts ist verloren: Dieser Lauf ist in seinem Journal aufbewahrt.`],
  [/^That is not the id of a run\.$/, () => 'Das ist nicht die Kennung eines Laufs.'],

  // The panel and the browser.
  [/^This file has no procedure that can be run\. Look at its findings\.$/, () => 'Diese Datei hat kein Verfahren, das sich ausführen lässt. Ihre Befunde ansehen.'],
  [/^The database does not open\.$/, () => 'Die Datenbank des Browsers öffnet sich nicht.'],
  [/^The run cannot be read\.$/, () => 'Der Lauf lässt sich nicht lesen.'],
];
