/** Titles of fixes in German, by what the checks write in English. A title that is not here stays as it is; a test holds them together. */

/** The German title of a fix. */
export function fixInGerman(title: string): string {
  for (const [english, german] of TITLES) if (english.test(title)) return title.replace(english, german);
  return title;
}

/** The first that fits counts: what says more comes before what says less. */
const TITLES: readonly (readonly [english: RegExp, german: string])[] = [
  [/^Change '(.*)' to '(.*)'$/s, "'$1' in '$2' ändern"],
  [/^Change it to (.*)$/s, 'In $1 ändern'],
  [/^Change the text to (.*)$/s, 'Den Text in $1 ändern'],
  [/^Change (.*) to (.*)$/s, '$1 in $2 ändern'],
  [/^Spell it (.*)$/s, '$1 schreiben'],
  [/^Call it (.*)$/s, 'Es $1 nennen'],
  [/^Swap (.*) and (.*) of (.*)$/s, '$1 und $2 von $3 tauschen'],
  [/^Make two items of it$/, 'Zwei Punkte daraus machen'],
  [/^Raise the revision to (.*)$/s, 'Die Revision auf $1 erhöhen'],
  [/^Set the status to (.*)$/s, 'Den Status auf $1 setzen'],
  [/^Use single quotes$/, 'Einfache Anführungszeichen verwenden'],
  [/^Use (.*)$/s, '$1 verwenden'],
  [/^Insert a step that brings (.*) to (.*)$/s, 'Einen Schritt einfügen, der $1 auf $2 bringt'],
  [/^Put (.*) back to (.*) before this ending$/s, '$1 vor diesem Ende wieder auf $2 bringen'],
  [/^Put (.*) back to (.*) before these endings$/s, '$1 vor diesen Enden wieder auf $2 bringen'],
  [/^Put the text in quotes$/, 'Den Text in Anführungszeichen setzen'],
  [/^Put a space after it$/, 'Ein Leerzeichen dahinter setzen'],
  [/^Put a dash before it$/, 'Einen Strich davor setzen'],
  [/^Begin it with a dash$/, 'Mit einem Strich beginnen'],
  [/^Indent it as its neighbours$/, 'Wie die Nachbarn einrücken'],
  [/^Leave the quotes out$/, 'Die Anführungszeichen weglassen'],
  [/^Replace tabs by spaces$/, 'Tabulatoren durch Leerzeichen ersetzen'],
  [/^Replace them by ordinary spaces$/, 'Durch gewöhnliche Leerzeichen ersetzen'],
  [/^Write a hyphen$/, 'Einen Bindestrich schreiben'],
  [/^Write the apostrophe twice$/, 'Das Hochkomma doppelt schreiben'],
  [/^Put a backslash before it$/, 'Einen umgekehrten Schrägstrich davor setzen'],
  [/^Write the unit (.*)$/s, 'Die Einheit $1 schreiben'],
  [/^Write (.*)$/s, '$1 schreiben'],
  [/^Give '(.*)' at '(.*)'$/s, "Den Warnhinweis '$1' bei '$2' geben"],
  [/^Add the caution '(.*)' to the remedy of '(.*)'$/s, "Den Warnhinweis '$1' zur Abhilfe von '$2' hinzufügen"],
  [/^Add (.*) to the remedy of '(.*)'$/s, "$1 zur Abhilfe von '$2' hinzufügen"],
  [/^Add the caution '(.*)' to '(.*)'$/s, "Den Warnhinweis '$1' bei '$2' hinzufügen"],
  [/^Add the colon$/, 'Den Doppelpunkt setzen'],
  [/^Add a last result for every other reading$/, 'Ein letztes Ergebnis für alle anderen Messwerte hinzufügen'],
  [/^Add (.*) and set the time that the maker allows$/s, '$1 hinzufügen und die Zeit einsetzen, die der Hersteller erlaubt'],
  [/^Add (.*) and set the time that the maker asks for$/s, '$1 hinzufügen und die Zeit einsetzen, die der Hersteller verlangt'],
  [/^Add (.*)$/s, '$1 hinzufügen'],
];
