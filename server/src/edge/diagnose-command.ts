/** `faultwright diagnose`: what the tests of a procedure prove, what its order costs, and what its records say of the weights. */
import { existsSync, readdirSync, statSync } from 'node:fs';
import { dirname, extname, join, resolve } from 'node:path';
import { diagnosisOf, findingsIn, type DiagnosisOutcome } from '../features/diagnosis.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import type { RunRecord } from '../run/record.ts';
import { CannotRun, type CommandEnvironment, type DiagnosisFormat } from './command-environment.ts';
import { shopFolder } from './find-files.ts';
import { checkRecordFile, recordsFolder } from './record-files.ts';
import type { ReadProcedure } from './commands.ts';

export interface DiagnoseOptions {
  /** A folder of records; without it, the one of the procedure's shop. */
  readonly records?: string;
  readonly format?: DiagnosisFormat;
  readonly output?: string;
  /** Whose weights everything goes by. */
  readonly weights?: 'written' | 'records';
  readonly perPerson?: boolean;
  readonly repairAndSee?: boolean;
  /** Writes the proposed order to this file; the procedure itself is left as it is. */
  readonly proposal?: string;
}

/** The diagnosis as text of the wanted format, and what to say beside it. Throws CannotRun. */
export async function diagnoseProcedure(
  file: string, read: ReadProcedure, options: DiagnoseOptions, environment: CommandEnvironment,
): Promise<{ readonly content: string; readonly outcome: DiagnosisOutcome; readonly remarks: readonly string[] }> {
  const own = resolve(environment.cwd, file);
  const folder = options.records === undefined ? recordsFolder(shopFolder(own) ?? dirname(own)) : resolve(environment.cwd, options.records);
  if (options.records !== undefined && !existsSync(folder)) throw new CannotRun(`There is no folder ${harmlessLine(options.records)}. Name one with records in it.`);
  const { records, remarks } = readAllRecords(folder);
  const name = read.analysis.procedure?.name?.value;
  const outcome = diagnosisOf(read.files.workspace, read.analysis.file, {
    propose: true, found: name === undefined ? new Map() : findingsIn(records, name),
    ...(options.perPerson ? { perPerson: true } : {}), ...(options.repairAndSee ? { repairs: true } : {}),
    ...(options.weights === 'records' ? { change: 'records' } : {}),
  });
  if (outcome === undefined) throw new CannotRun(`${harmlessLine(file)} has no faults or no steps, so that there is nothing to diagnose. Run: faultwright check ${harmlessLine(file)}`);
  if (options.weights === 'records' && !outcome.byRecords) {
    throw new CannotRun(`No record in ${harmlessLine(folder)} finds a fault of ${harmlessLine(name ?? file)}, so that there are no weights but those written.`);
  }
  return { content: await rendered(outcome, formatOf(options), environment), outcome, remarks };
}

/** The format asked for, else the one that the output's ending names, else text. */
function formatOf({ format, output }: DiagnoseOptions): DiagnosisFormat {
  if (format !== undefined) return format;
  const ending = output === undefined ? '' : extname(output).toLowerCase();
  return ending === '.html' || ending === '.htm' ? 'html' : ending === '.json' ? 'json' : 'text';
}

async function rendered(outcome: DiagnosisOutcome, format: DiagnosisFormat, environment: CommandEnvironment): Promise<string> {
  switch (format) {
    case 'json':
      return (await import('../render/diagnosis-json.ts')).renderDiagnosisJson(outcome);
    case 'html':
      return (await import('../render/diagnosis-html.ts')).renderDiagnosisHtml(outcome);
    case 'text': {
      const { NO_PAINT, terminalPaint } = await import('../render/paint.ts');
      const { renderDiagnosisText } = await import('../render/diagnosis-text.ts');
      const paint = environment.colours ? terminalPaint() : NO_PAINT;
      return renderDiagnosisText(outcome, { paint, ...(environment.columns === undefined ? {} : { width: environment.columns }) });
    }
  }
}

/** Every record under a folder; what was altered or is none is left out and named. */
function readAllRecords(folder: string): { readonly records: readonly RunRecord[]; readonly remarks: readonly string[] } {
  const records: RunRecord[] = [];
  const remarks: string[] = [];
  if (!existsSync(folder) || !statSync(folder).isDirectory()) return { records, remarks };
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name);
    if (!entry.isFile() || !entry.name.endsWith('.json')) continue;
    const { record, problems } = checkRecordFile(path);
    if (record !== undefined && problems.length === 0) records.push(record);
    else remarks.push(`Left out: ${harmlessLine(path)}. ${problems[0]?.message ?? ''}`.trimEnd());
  }
  return { records, remarks };
}
