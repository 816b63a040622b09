/** A workspace lets go of what was worked out of a file: what is known of who runs whom, and who depends on whom, stays. */
import { expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';

const CALLED = `procedure: check_fuse
title: Check the main fuse
faults:
  blown_fuse: {title: Blown fuse, weight: 3}
  loose_clamp: {title: Loose clamp, weight: 1}
steps:
  - step: fuse
    look: The main fuse.
    results:
      - when: blown
        finds: blown_fuse
      - when: loose
        finds: loose_clamp
      - otherwise: passed
`;

/** It handles what it runs with the words of \`results\`. */
const caller = (name: string, result: string): string => `procedure: ${name}
title: No power
complaint: No power at all.
steps:
  - step: main_fuse
    run: check_fuse
    results:
      - when: finds blown_fuse
        refer: To the electrician.
${result}      - otherwise: passed
`;
const HANDLED = `      - when: finds loose_clamp
        refer: To the electrician.
`;

function workspace(): Workspace {
  const made = new Workspace();
  made.setFile('/shop/check_fuse.procedure.yaml', CALLED);
  made.setFile('/shop/no_power.procedure.yaml', caller('no_power', ''));
  for (let i = 0; i < 5; i++) made.setFile(`/shop/other_${i}.procedure.yaml`, CALLED.replaceAll('check_fuse', `other_${i}`));
  return made;
}

const findings = (from: Workspace, file: string): string[] => from.analyse(file).findings.map(({ check, message }) => `${check}: ${message}`);

test.each([['kept', false], ['released', true]])('who depends on whom, with what was worked out %s', (_, releases) => {
  const used = workspace();
  const all = used.files();
  for (const file of all) {
    used.analyse(file);
    if (releases) used.release(file);
  }
  expect(used.dependants('/shop/check_fuse.procedure.yaml')).toEqual(['/shop/no_power.procedure.yaml']);
  expect(used.dependants('/shop/other_1.procedure.yaml')).toEqual([]);
  used.setFile('/shop/no_power.procedure.yaml', caller('no_power', HANDLED));
  const fresh = workspace();
  fresh.setFile('/shop/no_power.procedure.yaml', caller('no_power', HANDLED));
  for (const file of all) expect(findings(used, file), file).toEqual(findings(fresh, file));
  // Another one appears that runs it: the callee is looked at again where anything was drawn from its callers.
  used.setFile('/shop/no_start.procedure.yaml', caller('no_start', HANDLED));
  fresh.setFile('/shop/no_start.procedure.yaml', caller('no_start', HANDLED));
  for (const file of used.files()) expect(findings(used, file), file).toEqual(findings(fresh, file));
  used.removeFile('/shop/no_power.procedure.yaml');
  expect(used.dependants('/shop/check_fuse.procedure.yaml')).toEqual(['/shop/no_start.procedure.yaml']);
});

test('a file whose findings were drawn from who runs it depends on them once it was let go of', () => {
  const used = workspace();
  const callee = '/shop/check_fuse.procedure.yaml';
  used.setFile(callee, CALLED.replace('steps:\n', 'steps:\n  - step: rest\n    measure: voltage\n    at: battery posts\n'));
  const unused = (): string[] => findings(used, callee).filter((finding) => finding.startsWith("unused-name: The reading 'rest'"));
  expect(unused()).toHaveLength(1);
  expect(used.dependenciesOf(callee).callers).toBe(true);
  used.release(callee);
  const using = '/shop/no_power.procedure.yaml';
  used.setFile(using, caller('no_power', HANDLED).replace('otherwise: passed', "otherwise:\n        refer: To the electrician, with {main_fuse.rest}."));
  expect(used.dependants(using)).toContain(callee);
  expect(unused()).toHaveLength(0);
});
