/** Copies of a procedure, and shop and assets files under other names, as they come and go: what is known is what a fresh workspace knows. */
import { describe, expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';

const procedure = (name: string, ask = 'Is it isolated?'): string => `procedure: ${name}\ntitle: ${name}\nsteps:\n  - step: a\n    ask: ${ask}\n    results:\n      - when: yes\n        passes: true\n      - when: no\n        refer: Stop.\n`;
const CALLER = 'procedure: caller\ntitle: Caller\nsteps:\n  - step: iso\n    run: iso\n    results:\n      - when: otherwise\n        passes: true\n';

function workspaceOf(files: Readonly<Record<string, string>>): Workspace {
  const workspace = new Workspace();
  for (const [path, text] of Object.entries(files)) workspace.setFile(path, text);
  return workspace;
}

const saidOf = (workspace: Workspace, path: string): string[] => workspace.analyse(path).findings.filter(({ check }) => check === 'duplicate-name').map(({ message }) => message);

/** Makes each change in one workspace; after each, every file is known as in a fresh one, and whoever changes was named as a dependant. */
function follow(start: Readonly<Record<string, string>>, changes: readonly (readonly [path: string, text: string | undefined])[], look: (workspace: Workspace, step: number) => void): void {
  const files: Record<string, string> = { ...start };
  const workspace = workspaceOf(files);
  const findings = (): Map<string, string> => new Map(workspace.files().map((path) => [path, JSON.stringify(workspace.analyse(path).findings)]));
  let before = findings();
  changes.forEach(([path, text], step) => {
    if (text === undefined) {
      const { [path]: _gone, ...rest } = files;
      for (const key of Object.keys(files)) delete files[key];
      Object.assign(files, rest);
      workspace.removeFile(path);
    } else {
      files[path] = text;
      workspace.setFile(path, text);
    }
    const named = new Set([path, ...workspace.dependants(path)]);
    const now = findings();
    const fresh = workspaceOf(files);
    for (const [file, found] of now) {
      expect(JSON.parse(found), `${file} after change ${step}`).toEqual(JSON.parse(JSON.stringify(fresh.analyse(file).findings)));
      if (before.get(file) !== found) expect(named, `${file} after change ${step}`).toContain(file);
    }
    before = now;
    look(workspace, step);
  });
}

describe('procedures of one name', () => {
  test('each says where the others are, and a run of the name which would be taken; as copies come, go and are renamed', () => {
    follow({ 'd/shop.yaml': 'shop: Depot\n', 'd/caller.procedure.yaml': CALLER, 'd/new/iso.procedure.yaml': procedure('iso') }, [
      ['d/old/iso.procedure.yaml', procedure('iso', 'Is it off?')],
      ['d/zzz.procedure.yaml', procedure('iso')],
      ['d/zzz.procedure.yaml', procedure('other')],
      ['d/old/shop.yaml', 'shop: Old depot\n'],
      ['d/old/shop.yaml', undefined],
      ['d/old/iso.procedure.yaml', undefined],
    ], (workspace, step) => {
      const [own, run] = [saidOf(workspace, 'd/new/iso.procedure.yaml'), saidOf(workspace, 'd/caller.procedure.yaml')];
      if (step === 0) {
        expect(own).toEqual(["Another procedure is named 'iso' too: ../old/iso.procedure.yaml."]);
        expect(run).toEqual(["'iso' runs 'iso', and 2 procedures have that name: new/iso.procedure.yaml and old/iso.procedure.yaml."]);
      } else if (step === 1) {
        expect(own).toEqual(["2 other procedures are named 'iso' too: ../old/iso.procedure.yaml and ../zzz.procedure.yaml."]);
        // The one beside it would be taken, and now that is said.
        expect(workspace.analyse('d/caller.procedure.yaml').findings.find(({ check }) => check === 'duplicate-name')?.note).toBe('As it stands, zzz.procedure.yaml would be run.');
      } else if (step === 2 || step === 4) expect([own.length, run.length]).toEqual([1, 1]);
      // A shop of its own keeps its names to itself; and one alone is no copy.
      else expect([own, run]).toEqual([[], []]);
    });
  });

  test('is an error, at the name and at the run', () => {
    const workspace = workspaceOf({ 'a.procedure.yaml': procedure('iso'), 'b.procedure.yaml': procedure('iso'), 'c.procedure.yaml': CALLER });
    for (const [file, start] of [['a.procedure.yaml', 11], ['b.procedure.yaml', 11], ['c.procedure.yaml', CALLER.indexOf('run: iso') + 5]] as const) {
      const [found] = workspace.analyse(file).findings.filter(({ check }) => check === 'duplicate-name');
      expect([found?.severity, found?.span.start, found?.related?.length]).toEqual(['error', start, file === 'c.procedure.yaml' ? 2 : 1]);
    }
  });
});

describe('shop and assets files', () => {
  const SHOP = 'shop: Depot\nstates:\n  lamp: {values: [on, off], at_start: on}\n';
  const NEEDS = procedure('lamp').replace('    ask:', '    needs: {lamp: on}\n    ask:');
  const unknown = (workspace: Workspace): boolean => workspace.analyse('d/lamp.procedure.yaml').findings.some(({ check }) => check === 'unknown-name');

  test('shop.yml is used as shop.yaml is; where both stand, the second says that it is not', () => {
    follow({ 'd/lamp.procedure.yaml': NEEDS }, [
      ['d/shop.yml', SHOP], ['d/shop.yaml', 'shop: Depot\n'], ['d/shop.yaml', undefined], ['d/assets.yml', 'assets:\n  L-1: {lamp: x}\n'], ['d/assets.yaml', 'assets:\n  L-1: {lamp: x}\n'],
    ], (workspace, step) => {
      expect(unknown(workspace)).toBe(step === 1);
      expect(saidOf(workspace, 'd/shop.yml')).toEqual(step === 1 ? ['shop.yaml stands beside it and is used; nothing in this file is.'] : []);
      if (step >= 3) expect(saidOf(workspace, 'd/assets.yml')).toEqual(step === 4 ? ['assets.yaml stands beside it and is used; nothing in this file is.'] : []);
    });
  });

  test('a name in other letters is refused', () => {
    expect(saidOf(workspaceOf({ 'd/Shop.yaml': SHOP }), 'd/Shop.yaml')).toEqual(['A file named Shop.yaml is not read for any procedure.']);
  });
});

describe('limits of an asset', () => {
  const ASSETS = 'assets:\n  WP-01: {equipment: pump, winding_low: 2.4 ohm, winding_high: 1.8 ohm}\n  WP-02: {equipment: pump, winding_low: 1.8 ohm, winding_high: 2400 mohm}\n';
  const JUDGES = `procedure: winding
title: Winding
applies_to: {equipment: pump}
facts:
  winding_low: {quantity: resistance, from: Data sheet}
  winding_high: {quantity: resistance, from: Data sheet}
steps:
  - step: winding
    measure: resistance
    at_each: [u_v, v_w]
    results:
      - when: between winding_low and winding_high at u_v and between winding_low and winding_high at v_w
        passes: true
      - when: otherwise
        refer: Replace the motor.
`;

  test('the wrong way round are an error at the asset, as soon as a procedure judges by them', () => {
    follow({ 'd/assets.yaml': ASSETS }, [
      ['d/winding.procedure.yaml', JUDGES], ['d/winding.procedure.yaml', JUDGES.replaceAll('between winding_low and winding_high', 'between winding_low and winding_high + 2 ohm')],
      ['d/winding.procedure.yaml', JUDGES.replaceAll('between winding_low and winding_high', 'at least winding_low')], ['d/winding.procedure.yaml', JUDGES],
      ['d/assets.yaml', ASSETS.replace('2.4 ohm, winding_high: 1.8', '1.8 ohm, winding_high: 2.4')],
    ], (workspace, step) => {
      const found = workspace.analyse('d/assets.yaml').findings;
      expect(found.map(({ check, severity, message }) => [check, severity, message])).toEqual(step === 0 || step === 3
        ? [['limits-reversed', 'error', 'The winding_low of WP-01 is 2.4 ohm, and its winding_high 1.8 ohm: nothing lies between them.']] : []);
    });
  });

  test('a procedure that applies to no asset is a warning, with the nearest name', () => {
    const workspace = workspaceOf({ 'd/assets.yaml': ASSETS, 'd/winding.procedure.yaml': JUDGES.replace('equipment: pump', 'equipment: pmup') });
    const [found] = workspace.analyse('d/winding.procedure.yaml').findings.filter(({ check }) => check === 'applies-to-nothing');
    expect([found?.severity, found?.message, found?.help]).toEqual(['warning', "No asset has equipment 'pmup', so this procedure applies to none.", "Do you mean 'pump'?"]);
    const fact = workspaceOf({ 'd/assets.yaml': ASSETS, 'd/winding.procedure.yaml': JUDGES.replace('equipment: pump', 'equipmnt: pump') });
    expect(fact.analyse('d/winding.procedure.yaml').findings.find(({ check }) => check === 'applies-to-nothing')?.help).toBe("Do you mean 'equipment'?");
    const none = workspaceOf({ 'd/winding.procedure.yaml': JUDGES.replace('equipment: pump', 'equipment: pmup') });
    expect(none.analyse('d/winding.procedure.yaml').findings.filter(({ check }) => check === 'applies-to-nothing')).toEqual([]);
  });

  test('a wait that is shorter than the time of the asset that its text shows', () => {
    const waits = (label: string): string[] => {
      const text = procedure('wait').replace('applies', '').replace('steps:\n', 'applies_to: {equipment: pump}\nfacts:\n  label: {quantity: time, from: Label}\nsteps:\n  - step: bleed\n    do: ["The label asks for {label}."]\n    wait: 10 min\n');
      const workspace = workspaceOf({ 'd/assets.yaml': `assets:\n  P-1: {equipment: pump, label: ${label}}\n`, 'd/wait.procedure.yaml': text });
      return workspace.analyse('d/wait.procedure.yaml').findings.filter(({ check }) => check === 'wait-too-short').map(({ severity, message }) => `${severity} ${message}`);
    };
    expect(waits('30 min')).toEqual(["error For P-1 the text shows 30 min (label), and 'bleed' waits 10 min."]);
    expect(waits('600 s')).toEqual([]);
    expect(waits('5 min')).toEqual([]);
  });
});
