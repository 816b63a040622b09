/**
 * Reads the imports of the sources and says which of them break the rules of the house. TypeScript's own parser reads them: every
 * import, export from elsewhere, import of a type in place, and import while running.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import ts from 'typescript';

export interface Source {
  /** Relative to the project, with forward slashes. */
  readonly path: string;
  readonly text: string;
}

export interface Import {
  readonly from: string;
  /** As written. */
  readonly specifier: string;
  /** The file it names, where it is one of ours. */
  readonly to: string | undefined;
  readonly typeOnly: boolean;
  readonly dynamic: boolean;
  readonly line: number;
}

/** The rooms of server/src, from the top: a room imports only rooms above it. */
export const ROOMS = [
  'text', 'syntax', 'quantity', 'procedure', 'catalogue', 'findings', 'flow', 'diagnosis', 'checks', 'analysis', 'run', 'review', 'features',
  'render', 'lsp', 'edge',
] as const;

/** All sources under a folder of the project. */
export function readSources(root: string, folder: string): Source[] {
  return readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => {
      const whole = join(entry.parentPath, entry.name);
      return { path: whole.slice(root.length).replaceAll('\\', '/').replace(/^\//, ''), text: readFileSync(whole, 'utf8') };
    });
}

/** Every import of a source. */
export function importsOf(source: Source): Import[] {
  const file = ts.createSourceFile(source.path, source.text, ts.ScriptTarget.Latest, true);
  const found: Import[] = [];
  const add = (node: ts.Node, specifier: string, typeOnly: boolean, dynamic: boolean): void => {
    const to = specifier.startsWith('.') ? posix.join(posix.dirname(source.path), specifier) : undefined;
    found.push({ from: source.path, specifier, to, typeOnly, dynamic, line: file.getLineAndCharacterOfPosition(node.getStart()).line + 1 });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) && ts.isStringLiteral(node.moduleSpecifier)) {
      const clause = node.importClause;
      const named = clause?.namedBindings;
      const allTypes = named !== undefined && ts.isNamedImports(named) && clause?.name === undefined && named.elements.length > 0
        && named.elements.every((element) => element.isTypeOnly);
      add(node, node.moduleSpecifier.text, clause?.isTypeOnly === true || allTypes, false);
    } else if (ts.isExportDeclaration(node) && node.moduleSpecifier && ts.isStringLiteral(node.moduleSpecifier)) {
      add(node, node.moduleSpecifier.text, node.isTypeOnly, false);
    } else if (ts.isCallExpression(node) && (node.expression.kind === ts.SyntaxKind.ImportKeyword || node.expression.getText(file) === 'require')) {
      const [argument] = node.arguments;
      if (argument && ts.isStringLiteralLike(argument)) add(node, argument.text, false, true);
    } else if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument) && ts.isStringLiteral(node.argument.literal)) {
      add(node, node.argument.literal.text, true, false);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

/** One sentence for each import that breaks a rule. */
export function breaches(sources: readonly Source[]): string[] {
  const imports = sources.flatMap(importsOf);
  return [
    ...imports.flatMap((one) => [directionBreach(one), packageBreach(one), clientBreach(one)].filter((text) => text !== undefined).map((text) => `${one.from}:${one.line} ${text}`)),
    ...circles(imports).map((circle) => `These files import each other in a circle: ${circle.join(' → ')}.`),
  ];
}

function directionBreach({ from, to, typeOnly }: Import): string | undefined {
  const own = roomOf(from);
  const other = to === undefined ? undefined : roomOf(to);
  if (own === undefined || other === undefined || own === other) return undefined;
  if (other === 'findings' && typeOnly) return undefined;
  const ownIndex = ROOMS.indexOf(own);
  if (ROOMS.indexOf(other) < ownIndex) return undefined;
  return `imports ${to ?? ''}: ${own}/ may import only rooms above it, and ${other}/ is below.`;
}

function packageBreach({ from, specifier, to }: Import): string | undefined {
  if (to !== undefined) return undefined;
  const room = roomOf(from);
  const name = specifier.replace(/^((?:@[^/]+\/)?[^/]+).*$/, '$1');
  if (name === 'vscode') return from.startsWith('client/') ? undefined : 'imports vscode: only client/ may.';
  if (specifier.startsWith('node:') || name === 'fs' || name === 'path') {
    if (room === 'edge' || from.startsWith('client/src/') && !from.startsWith('client/src/pages/')) return undefined;
    return `imports ${specifier}: only edge/ may; everything else runs in a browser too.`;
  }
  if (name === 'yaml') return room === 'syntax' ? undefined : 'imports yaml: only syntax/ may.';
  if (/^vscode-languageserver/.test(name) && name !== 'vscode-languageserver-textdocument') {
    return room === 'lsp' || from.endsWith('/edge/lsp-main.ts') ? undefined : `imports ${specifier}: only lsp/ may.`;
  }
  if (/^vscode-languageclient/.test(name)) return from.startsWith('client/') ? undefined : `imports ${specifier}: only client/ may.`;
  if (name === 'elkjs' && room !== 'render') return 'imports elkjs: only render/ may, behind its interface.';
  return undefined;
}

/** The extension itself takes types of the protocol alone; pages share the pure rooms, as they run the same engine. */
function clientBreach({ from, to, typeOnly }: Import): string | undefined {
  if (!from.startsWith('client/') || to === undefined || !to.startsWith('server/')) return undefined;
  const room = roomOf(to);
  if (from.startsWith('client/src/pages/')) {
    return room !== undefined && room !== 'lsp' && room !== 'edge' || typeOnly ? undefined : `imports ${to}: a page may import only pure rooms.`;
  }
  return typeOnly ? undefined : `imports ${to}: the extension takes only types from the server.`;
}

function roomOf(path: string): (typeof ROOMS)[number] | undefined {
  const name = /^server\/src\/([^/]+)\//.exec(path)?.[1];
  return ROOMS.find((room) => room === name);
}

/** Circles of imports that exist when the program runs; each once, from its first file. Imports of types and later loading do not count. */
function circles(imports: readonly Import[]): string[][] {
  const next = new Map<string, string[]>();
  for (const { from, to, typeOnly, dynamic } of imports) {
    if (to === undefined || typeOnly || dynamic) continue;
    next.set(from, [...(next.get(from) ?? []), to]);
  }
  const found = new Map<string, string[]>();
  const done = new Set<string>();
  const walk = (file: string, path: readonly string[]): void => {
    const at = path.indexOf(file);
    if (at >= 0) {
      const circle = path.slice(at);
      found.set([...circle].sort().join(), [...circle, file]);
      return;
    }
    if (done.has(file)) return;
    for (const to of next.get(file) ?? []) walk(to, [...path, file]);
    done.add(file);
  };
  for (const file of next.keys()) walk(file, []);
  return [...found.values()];
}
