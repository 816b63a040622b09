/**
 * The figures of a checklist, read from beside its procedures. Nothing outside the shop's folder is read, whatever a procedure names
 * and wherever a link leads.
 */
import { readFile, realpath, stat } from 'node:fs/promises';
import { dirname, isAbsolute, relative, resolve, sep } from 'node:path';
import type { Workspace } from '../analysis/workspace.ts';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { shopFolder } from './find-files.ts';
import { reasonOf } from './read-text-file.ts';

export interface Figures {
  /** `PROCEDURE/FIGURE` → data URI. */
  readonly figures: Readonly<Record<string, string>>;
  /** One sentence for each that could not be had. */
  readonly missing: readonly string[];
}

/** A checklist with larger pictures would be slow to open on a tablet. */
const LARGEST = 8_000_000;

/** The figures of the procedure in `file` and of those that it runs. */
export async function readFigures(document: ChecklistDocument, file: string, workspace: Workspace): Promise<Figures> {
  const figures: Record<string, string> = {};
  const missing: string[] = [];
  for (const sheet of [document.procedure, ...Object.values(document.called)]) {
    const own = sheet === document.procedure ? file : workspace.fileOfProcedure(sheet.name, file);
    for (const { figure, number } of sheet.steps) {
      const key = `${sheet.name}/${figure ?? ''}`;
      if (figure === undefined || own === undefined || key in figures) continue;
      const found = await readFigure(own, figure.trim());
      if ('uri' in found) figures[key] = found.uri;
      else missing.push(`The figure of step ${number} of ${sheet.name} is left out. ${found.problem}`);
    }
  }
  return { figures, missing };
}

async function readFigure(procedure: string, figure: string): Promise<{ uri: string } | { problem: string }> {
  const folder = dirname(procedure);
  const outside = { problem: 'It lies outside the folder of the shop.' };
  try {
    const root = await realpath(shopFolder(procedure) ?? folder);
    const path = await realpath(resolve(folder, figure));
    const inside = relative(root, path);
    if (isAbsolute(figure) || isAbsolute(inside) || inside === '..' || inside.startsWith(`..${sep}`)) return outside;
    const found = await stat(path);
    if (!found.isFile()) return { problem: 'It is no file.' };
    if (found.size > LARGEST) return { problem: 'It is larger than 8 MB.' };
    const bytes = await readFile(path);
    const type = typeOf(bytes);
    if (type === undefined) return { problem: 'It is no PNG, JPEG, GIF, WebP or SVG image.' };
    return { uri: `data:${type};base64,${bytes.toString('base64')}` };
  } catch (error) {
    return { problem: reasonOf(error) };
  }
}

/** By what the file holds, not by its name. An SVG shown as an image runs no script. */
function typeOf(bytes: Buffer): string | undefined {
  const starts = (text: string, at = 0): boolean => bytes.subarray(at, at + text.length).toString('latin1') === text;
  if (starts('\x89PNG\r\n\x1a\n')) return 'image/png';
  if (starts('\xff\xd8\xff')) return 'image/jpeg';
  if (starts('GIF87a') || starts('GIF89a')) return 'image/gif';
  if (starts('RIFF') && starts('WEBP', 8)) return 'image/webp';
  return /^\ufeff?\s*(?:<\?xml[^>]*>\s*)?(?:<!--[\s\S]*?-->\s*|<!DOCTYPE[^>]*>\s*)*<svg[\s>]/i.test(bytes.subarray(0, 4096).toString('utf8')) ? 'image/svg+xml' : undefined;
}
