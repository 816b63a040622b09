/** Builds the checklist of a procedure from its analysis. Pure: it reads no file and asks no clock. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Finding } from '../findings/finding.ts';
import type { Asset } from '../procedure/model.ts';
import type { InstrumentCalibration } from './events.ts';
import type { AcceptedSheet, AssetSheet, ChecklistDocument, ProcedureSheet, Standing } from './checklist-document.ts';
import { valueDigest } from './digest.ts';
import { procedureSheet } from './procedure-sheet.ts';
import { andList, capitalised, plainWords } from './texts.ts';

export type * from './checklist-document.ts';

/** What every checklist, record and export says of itself, last. */
export const CLOSING_CAUTIONS: readonly string[] = [
  'Follow the maker\'s data, local codes and the rules of the shop. Where they differ from this checklist, they hold.',
  'Work on high voltage, refrigerant, gas, brakes and restraint systems is for qualified people.',
  'A clean check does not make a procedure safe by itself. Stop where something is not as it is described here.',
];

/** Where the procedures that it runs are found. A Workspace is one. */
export interface ProcedureLibrary {
  /** The file of the procedure that `name` means in `from`. */
  fileOfProcedure(name: string, from: string): string | undefined;
  analyse(file: string): Analysis;
}

/**
 * The checklist of an analysed procedure, for one asset where it is named. Without a `library`, procedures that it runs are
 * missing. An `assetId` that the shop does not have gives a document without an asset: the caller says so. Throws a RangeError
 * where the analysis is of no procedure.
 */
export function buildChecklist(analysis: Analysis, assetId?: string, library?: ProcedureLibrary): ChecklistDocument {
  const procedureNamed = (name: string, from: Analysis): Analysis | undefined => {
    const file = library?.fileOfProcedure(name, from.file);
    return file === undefined ? undefined : library?.analyse(file);
  };
  const sheetOf = (one: Analysis): ProcedureSheet | undefined =>
    procedureSheet(one, (name) => procedureNamed(name, one)?.procedure?.title?.value ?? capitalised(plainWords(name)));
  const procedure = sheetOf(analysis);
  if (procedure === undefined || analysis.scope === undefined) throw new RangeError(`${analysis.file} holds no procedure.`);
  // No name is written into an object by itself: `__proto__` would not stand there.
  const found = new Map<string, ProcedureSheet>();
  const missing: string[] = [];
  const analyses = [analysis];
  const queue = runsOf(procedure).map((name) => ({ name, from: analysis }));
  for (let wanted = queue.shift(); wanted !== undefined; wanted = queue.shift()) {
    const { name, from } = wanted;
    if (name === procedure.name || found.has(name) || missing.includes(name)) continue;
    const other = procedureNamed(name, from);
    const sheet = other && sheetOf(other);
    if (other === undefined || sheet === undefined) {
      missing.push(name);
      continue;
    }
    found.set(name, sheet);
    analyses.push(other);
    queue.push(...runsOf(sheet).map((next) => ({ name: next, from: other })));
  }
  const called: Readonly<Record<string, ProcedureSheet>> = Object.fromEntries(found);
  const assets = analysis.scope.assets.map((declared) => declared.item);
  const asset = assets.find((one) => one.id.value === assetId);
  const content = {
    format: 1 as const, procedure, called, missing,
    ...(analysis.scope.shopTitle === undefined ? {} : { shop: analysis.scope.shopTitle }), closing: CLOSING_CAUTIONS,
  };
  return {
    ...content,
    contentHash: valueDigest(content),
    ...(asset === undefined ? {} : { asset: assetSheet(asset, procedure, Object.values(called)) }),
    ...calibrationsOf(analyses),
    assets: assets.filter((one) => applies(one, procedure)).map((one) => one.id.value),
    standing: standingOf(procedure, analyses),
  };
}

/** Of the instruments that its steps use, as the shops' files have it; each number once. */
function calibrationsOf(analyses: readonly Analysis[]): Pick<ChecklistDocument, 'calibrations'> {
  const found = new Map<string, InstrumentCalibration>();
  for (const { procedure, scope } of analyses) {
    for (const step of [...(procedure?.steps ?? []), ...(procedure?.afterRepair ?? [])]) {
      const name = step.instrument?.value;
      const instrument = name === undefined ? undefined : scope?.instruments.get(name)?.item;
      for (const one of instrument?.calibrated ?? []) {
        if (name === undefined || found.has(`${name} ${one.number?.value ?? ''}`)) continue;
        found.set(`${name} ${one.number?.value ?? ''}`, {
          instrument: name, calibratedUntil: one.until.value, ...(one.number === undefined ? {} : { id: one.number.value }),
        });
      }
    }
  }
  return found.size === 0 ? {} : { calibrations: [...found.values()] };
}

function runsOf(sheet: ProcedureSheet): string[] {
  return sheet.program.steps.flatMap((step) => (step.run === undefined ? [] : [step.run]));
}

function assetSheet(asset: Asset, procedure: ProcedureSheet, called: readonly ProcedureSheet[]): AssetSheet {
  const facts = asset.facts.map((fact) => ({ name: fact.name.value, value: fact.value.value }));
  const wanted = [procedure, ...called].flatMap((sheet) => sheet.facts.map((fact) => fact.name));
  const unknown = [...new Set(wanted)].filter((name) => !facts.some((fact) => fact.name === name));
  return { id: asset.id.value, facts, unknown, applies: applies(asset, procedure) };
}

/** Whether the asset has one of the values wanted of every fact that `applies_to` names. */
function applies(asset: Asset, procedure: ProcedureSheet): boolean {
  return procedure.appliesTo.every(({ fact, values }) => {
    const own = asset.facts.find((one) => one.name.value === fact)?.value.value.trim();
    return own !== undefined && values.some((value) => sameValue(value, own));
  });
}

function sameValue(one: string, other: string): boolean {
  const plain = (text: string): string => text.replace(/\s+/g, '').toLowerCase();
  return plain(one) === plain(other);
}

function standingOf(procedure: ProcedureSheet, analyses: readonly Analysis[]): Standing {
  const findings = analyses.flatMap((one) => one.findings);
  const open = (severity: Finding['severity']): number => findings.filter((finding) => finding.severity === severity && finding.accepted === undefined).length;
  const errors = open('error');
  const remarks: string[] = [];
  switch (procedure.status) {
    case 'released':
      break;
    case 'draft':
      remarks.push('This procedure is a draft. It has not been released for work.');
      break;
    case 'in_review':
      remarks.push('This procedure is in review. It has not been released for work.');
      break;
    case 'withdrawn':
      remarks.push('This procedure is withdrawn. Do not work by it.');
      break;
    default:
      remarks.push('This procedure does not say that it is released for work.');
  }
  const others = analyses.slice(1).flatMap((one) => {
    const status = one.procedure?.status?.value;
    return status === 'released' || one.procedure === undefined ? [] : [`${one.procedure.title?.value ?? one.procedure.name?.value ?? one.file} (${plainWords(status ?? 'no status')})`];
  });
  if (others.length > 0) remarks.push(`It runs ${others.length === 1 ? 'a procedure that is' : 'procedures that are'} not released: ${andList(others)}.`);
  if (errors > 0) remarks.push(`${errors === 1 ? '1 error stands' : `${errors} errors stand`} against this procedure. It may be wrong or unsafe.`);
  return { errors, warnings: open('warning'), hints: open('hint'), accepted: findings.flatMap(acceptedSheet), remarks };
}

function acceptedSheet(finding: Finding): AcceptedSheet[] {
  if (finding.accepted === undefined) return [];
  return [{
    check: finding.check, message: finding.message, ...(finding.step === undefined ? {} : { at: finding.step }),
    ...(finding.accepted.because === undefined ? {} : { because: finding.accepted.because }),
    ...(finding.accepted.by === undefined ? {} : { by: finding.accepted.by }),
  }];
}
