/** What is said of the files of a run, in German: a full disk, a run that is open elsewhere. See run-in-german.ts. */

/** Each shape of sentence, and how it is said in German; what stands in a group is a path, a number or a name. */
export const GERMAN_FILE_SENTENCES: readonly (readonly [shape: RegExp, german: (...parts: string[]) => string])[] = [
  [/^The disk is full: the last entry could not be written to (.*)\. Everything before it is kept\. Free some space, then enter it again\.$/,
    (path) => `Der Datenträger ist voll: Der letzte Eintrag ließ sich nicht in ${path} schreiben. Alles davor ist festgehalten. Platz schaffen, dann noch einmal eintragen.`],
  [/^Nothing can be written to (.*): the folder or file is read-only\. Choose another records folder\.$/,
    (path) => `In ${path} lässt sich nichts schreiben: Ordner oder Datei sind schreibgeschützt. Einen anderen Ordner für Protokolle wählen.`],
  [/^There is no run under way in (.*)\.$/, (path) => `In ${path} ist kein Lauf unterwegs.`],
  [/^(.*) cannot be made: something of that name is in the way\. Choose another records folder\.$/,
    (path) => `${path} lässt sich nicht anlegen: Etwas dieses Namens ist im Weg. Einen anderen Ordner für Protokolle wählen.`],
  [/^(.*) could not be written: (.*)\. The last entry does not count\.$/, (path, why) => `${path} ließ sich nicht schreiben: ${why}. Der letzte Eintrag zählt nicht.`],
  [/^This run is open elsewhere \((.*)\)\. Close it there first\. If nothing has it open, delete (.*)\.$/,
    (where, path) => `Dieser Lauf ist anderswo offen (${where}). Ihn dort zuerst schließen. Hat ihn nichts offen, ${path} löschen.`],
  [/^Another program has written to (.*)\. The entry was not taken\. Open the run again\.$/,
    (path) => `Ein anderes Programm hat in ${path} geschrieben. Der Eintrag wurde nicht angenommen. Den Lauf neu öffnen.`],
  [/^Another file has taken the place of (.*)\. The entry was not taken\. Move that file away, then enter it again\.$/,
    (path) => `Eine andere Datei liegt an der Stelle von ${path}. Der Eintrag wurde nicht angenommen. Diese Datei wegräumen, dann noch einmal eintragen.`],
  [/^(.*) is closed, since it could not be written\. Everything acknowledged is kept in it\. Open the run again\.$/,
    (path) => `${path} ist geschlossen, weil es sich nicht schreiben ließ. Alles Bestätigte steht darin. Den Lauf neu öffnen.`],
  [/^(.*) had been removed or moved while the run was under way\. It was put back with everything entered\.$/,
    (path) => `${path} war während des Laufs entfernt oder verschoben worden. Es liegt mit allem Eingetragenen wieder da.`],
  [/^The last line was not whole: (\d+) bytes, as a sudden stop leaves them, were cut off\. Nothing acknowledged is lost\.$/,
    (count) => `Die letzte Zeile war nicht ganz: ${count} Bytes, wie ein plötzlicher Halt sie hinterlässt, wurden abgeschnitten. Nichts Bestätigtes ist verloren.`],
  [/^(.*) was altered or damaged at line (\d+): event (\d+) is not as it was written\. The (\d+) events before it are whole\. Keep the file and begin a new run\.$/,
    (path, line, event, count) => `${path} wurde in Zeile ${line} verändert oder beschädigt: Ereignis ${event} ist nicht, wie es geschrieben wurde. Die ${count} Ereignisse davor sind ganz. Die Datei aufheben und neu beginnen.`],
  [/^(.*) was altered: its checklist is not the one the run began with\. Keep the file and begin a new run\.$/,
    (path) => `${path} wurde verändert: Seine Prüfliste ist nicht die, mit der der Lauf begann. Die Datei aufheben und neu beginnen.`],
  [/^(.*) holds no run: its first line is not whole\. No entry was acknowledged in it; it can be deleted\.$/,
    (path) => `${path} enthält keinen Lauf: Die erste Zeile ist nicht ganz. Darin wurde kein Eintrag bestätigt; die Datei kann gelöscht werden.`],
  [/^(.*) holds the run (.*): the file has been renamed\. It is left alone\.$/, (path, run) => `${path} enthält den Lauf ${run}: Die Datei wurde umbenannt. Sie bleibt, wie sie ist.`],
  [/^The record (.*) could not be written: (.*)\. Nothing is lost: the run is kept in its journal, and the record is written when the run is opened again\.$/,
    (path, why) => `Das Protokoll ${path} ließ sich nicht schreiben: ${WHY[why ?? ''] ?? why}. Nichts ist verloren: Der Lauf steht in seinem Journal, und das Protokoll wird geschrieben, wenn er wieder geöffnet wird.`],
  [/^Nobody is on record as the second person\.$/, () => 'Eine zweite Person ist nicht eingetragen.'],
  [/^The second person is someone else than the one who does the work\.$/, () => 'Die zweite Person ist eine andere als die, die die Arbeit tut.'],
];

const WHY: Readonly<Record<string, string>> = {
  'the disk is full': 'Der Datenträger ist voll',
  'the folder is read-only, or something of that name is in the way': 'Der Ordner ist schreibgeschützt, oder etwas dieses Namens ist im Weg',
};
