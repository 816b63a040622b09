/**
 * What YAML does to an unwary writer without any error: a text cut off, a sign that means something else at the start of a
 * text. Each function makes one problem, in plain words, with the fix.
 */
import type { Fix, Problem } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { SourcePiece } from './source-piece.ts';
import type { ScalarNode } from './tree.ts';

/** A text between quotes that YAML reads back as it was: single quotes, with `'` doubled. */
export function quoted(text: string): string {
  return `'${text.replaceAll("'", "''")}'`;
}

/** A text short enough to stand in a message. */
export function shortened(text: string, length = 40): string {
  const line = text.replace(/\s+/g, ' ').trim();
  return line.length <= length ? line : `${line.slice(0, length - 1).trimEnd()}…`;
}

/** The fix that puts a text in quotes. */
export function quoteFix(text: string, span: Span, file: string): Fix {
  return { title: 'Put the text in quotes', edits: [{ file, span, newText: quoted(text) }], altersMeaning: false };
}

/**
 * `Use fuse #12`: a space and `#` begin a comment, and the rest of the text is lost. A comment set off by a space
 * (`# like this`) is taken for one, unless a number follows (`No. # 12`).
 */
export function commentCutsText(piece: SourcePiece, start: number, end: number, span: Span, file: string): Problem | undefined {
  const rest = /^[ \t]+#(?:[^\s#-]| ?\d)[^\n]*/.exec(piece.text.slice(end, end + 400));
  if (rest === null) return undefined;
  const lost = rest[0].trimEnd();
  const whole = piece.text.slice(start, end) + lost;
  const wholeSpan = { start: span.start, end: piece.at(end + lost.length) };
  return {
    check: 'text-cut-off', span: { start: piece.at(end), end: wholeSpan.end },
    message: `The text ends before '${shortened(lost)}': a space and '#' begin a comment.`,
    note: `What is read is '${shortened(piece.text.slice(start, end))}'.`,
    help: "Put the whole text in quotes. If it is meant as a comment, write '# ' with a space after it.",
    fixes: /\n/.test(whole) ? [] : [quoteFix(whole, wholeSpan, file)],
  };
}

/** `{red: pin 3, 4}`: inside braces a comma ends the text. */
export function commaCutsText(first: string, rest: string, joined: ScalarNode, file: string): Problem {
  return {
    check: 'text-cut-off', span: joined.span,
    message: `Inside '{…}' a comma ends the text: '${shortened(first)}' is cut off before '${shortened(rest)}'.`,
    help: 'Put the text in quotes, or write the map line by line.',
    fixes: [quoteFix(joined.text, joined.span, file)],
  };
}

/** `&foo bar`: the name after `&` is no part of the text. */
export function anchorInText(anchor: string, scalar: ScalarNode, span: Span, file: string): Problem {
  const whole = `&${anchor} ${scalar.text}`;
  return {
    check: 'text-cut-off', span,
    message: `'&${shortened(anchor)}' is not read as part of the text: '&' at the start names a piece of YAML for use elsewhere.`,
    note: `What is read is '${shortened(scalar.text)}'.`,
    help: "Put the text in quotes, or begin it with another word than '&'.",
    fixes: [quoteFix(whole, span, file)],
  };
}

/** `!Stop the engine`: a word with `!` is a tag. */
export function tagProblem(source: string, span: Span, file: string): Problem {
  const tag = source.split(/\s/, 1)[0] ?? '!';
  return {
    check: 'yaml-syntax', span,
    message: `A text cannot begin with '!': YAML takes '${shortened(tag)}' for a tag.`,
    help: 'Put the text in quotes. This format has no tags.',
    fixes: /\n/.test(source) ? [] : [quoteFix(source, span, file)],
  };
}

export function aliasProblem(kind: 'unknown' | 'circle' | 'too-many', name: string, span: Span, file: string): Problem {
  if (kind === 'unknown') {
    return {
      check: 'yaml-syntax', span,
      message: `A text cannot begin with '*': YAML looks for a piece marked '&${shortened(name)}' above, and there is none.`,
      help: 'Put the text in quotes, or write out what is meant.',
      fixes: [quoteFix(`*${name}`, span, file)],
    };
  }
  return {
    check: 'yaml-syntax', span,
    message: kind === 'circle'
      ? `'*${shortened(name)}' stands inside the piece that it names, and would never end.`
      : `'*${shortened(name)}' repeats too much: the pieces that this file repeats with '*' come to more than 20000 values.`,
    help: 'Write out what is meant.',
  };
}

export function mergeKeyProblem(span: Span): Problem {
  return {
    check: 'yaml-syntax', span,
    message: "'<<' merges keys from elsewhere, which YAML 1.2 does not have.",
    help: 'Write the keys out, so that a reader sees them in their place.',
  };
}
