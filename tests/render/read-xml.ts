/**
 * A strict reader of well-formed XML for tests (XML 1.0, fifth edition: elements, attributes, the five named entities and
 * character references; no document types). It throws on anything else, so that a broken output cannot pass.
 */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  readonly text: string;
  /** All elements of a name at any depth. */
  all(name: string): XmlElement[];
}

const NAME = '[A-Za-z_:][\\w:.-]*';

export function readXml(source: string): XmlElement {
  // Char ::= #x9 | #xA | #xD | [#x20-#xD7FF] | [#xE000-#xFFFD] | [#x10000-#x10FFFF]
  // eslint-disable-next-line no-control-regex
  const forbidden = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/.exec(source);
  if (forbidden) throw new Error(`Character not allowed in XML at ${forbidden.index}.`);
  let at = source.startsWith('<?xml') ? source.indexOf('?>') + 2 : 0;
  skipSpace();
  const root = element();
  skipSpace();
  if (at !== source.length) throw new Error(`Text after the root element at ${at}.`);
  return root;

  function element(): XmlElement {
    const open = match(new RegExp(`<(${NAME})`, 'y'));
    const name = open[1] as string;
    const attributes: Record<string, string> = {};
    for (;;) {
      const attribute = tryMatch(new RegExp(`\\s+(${NAME})\\s*=\\s*"([^"<]*)"`, 'y'));
      if (!attribute) break;
      const key = attribute[1] as string;
      if (key in attributes) throw new Error(`Attribute ${key} given twice.`);
      attributes[key] = plain(attribute[2] as string);
    }
    skipSpace();
    if (tryMatch(/\/>/y)) return make(name, attributes, [], '');
    match(/>/y);
    const children: XmlElement[] = [];
    let text = '';
    for (;;) {
      const close = tryMatch(new RegExp(`</(${NAME})\\s*>`, 'y'));
      if (close) {
        if (close[1] !== name) throw new Error(`<${name}> is closed by </${close[1]}>.`);
        return make(name, attributes, children, text);
      }
      const part = tryMatch(/[^<]+/y);
      if (part) {
        if (part[0].includes(']]>')) throw new Error(']]> in text.');
        text += plain(part[0]);
      } else children.push(element());
    }
  }

  function plain(raw: string): string {
    return raw.replace(/&([^;\s]*);?/g, (whole, entity: string) => {
      const known = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }[entity];
      if (known !== undefined && whole.endsWith(';')) return known;
      const code = /^#(\d+|x[0-9a-f]+)$/i.exec(entity)?.[1];
      if (code === undefined || !whole.endsWith(';')) throw new Error(`Not an entity: ${whole}`);
      return String.fromCodePoint(code.startsWith('x') ? Number.parseInt(code.slice(1), 16) : Number(code));
    });
  }

  function make(name: string, attributes: Record<string, string>, children: XmlElement[], text: string): XmlElement {
    const all = (wanted: string): XmlElement[] => children.flatMap((child) => [...(child.name === wanted ? [child] : []), ...child.all(wanted)]);
    return { name, attributes, children, text, all };
  }

  function tryMatch(pattern: RegExp): RegExpExecArray | undefined {
    pattern.lastIndex = at;
    const found = pattern.exec(source);
    if (found) at = pattern.lastIndex;
    return found ?? undefined;
  }

  function match(pattern: RegExp): RegExpExecArray {
    const found = tryMatch(pattern);
    if (!found) throw new Error(`Expected ${pattern.source} at ${at}: ${JSON.stringify(source.slice(at, at + 40))}`);
    return found;
  }

  function skipSpace(): void {
    tryMatch(/\s*/y);
  }
}
