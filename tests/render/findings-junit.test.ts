import { expect, test } from 'vitest';
import { renderFindingsJunit } from '../../server/src/render/findings-junit.ts';
import { FINDINGS, outcomeOf } from './outcome-fixture.ts';
import { readXml } from './read-xml.ts';

const FILES = ['/depot/lift.procedure.yaml', '/depot/shop.yaml'];

test('an error fails, a warning and a hint say what they found, an accepted deviation is skipped, a clean file passes', () => {
  expect(renderFindingsJunit(outcomeOf(FINDINGS), FILES)).toMatchInlineSnapshot(`
    "<?xml version="1.0" encoding="UTF-8"?>
    <testsuites name="faultwright" tests="5" failures="1" skipped="1" errors="0" time="0.012">
      <testsuite name="lift.procedure.yaml" tests="4" failures="1" skipped="1" errors="0">
        <testcase classname="lift.procedure.yaml" name="live-resistance-test at 9:5" file="lift.procedure.yaml" line="9">
          <failure type="live-resistance-test" message="Step &#39;coil&#39; reads resistance while circuit &#39;lift_control&#39; can be live.">error: Step &#39;coil&#39; reads resistance while circuit &#39;lift_control&#39; can be live.
    Why: Nothing turned the isolator off on the way here. A meter set to ohms is damaged by voltage and reads nonsense.
    Walk: listen → silent → coil
    What to do: Insert a step before &#39;coil&#39; that turns the isolator off and locks it.
    At: lift.procedure.yaml:9:5</failure>
        </testcase>
        <testcase classname="lift.procedure.yaml" name="dead-end at 12:9" file="lift.procedure.yaml" line="12">
          <system-out>warning: This result leads nowhere.
    At: lift.procedure.yaml:12:9</system-out>
        </testcase>
        <testcase classname="lift.procedure.yaml" name="vague-word at 5:10" file="lift.procedure.yaml" line="5">
          <system-out>hint: &#39;hear&#39; says little.
    What to do: Name the sounds to tell apart.
    At: lift.procedure.yaml:5:10</system-out>
        </testcase>
        <testcase classname="lift.procedure.yaml" name="long-instruction at 2:8" file="lift.procedure.yaml" line="2">
          <skipped message="accepted: The phrase is the maker&#39;s own. (Reviewer B)"/>
        </testcase>
      </testsuite>
      <testsuite name="shop.yaml" tests="1" failures="0" skipped="0" errors="0">
        <testcase classname="shop.yaml" name="no findings"/>
      </testsuite>
    </testsuites>
    "
  `);
});

test('the counts agree with what is there', () => {
  const root = readXml(renderFindingsJunit(outcomeOf(FINDINGS), FILES));
  expect(root.name).toBe('testsuites');
  const cases = root.all('testcase');
  expect(root.attributes).toMatchObject({ tests: String(cases.length), failures: String(root.all('failure').length), skipped: String(root.all('skipped').length) });
  expect(cases).toHaveLength(5);
});

test('any text gives well-formed XML', () => {
  const hostile = '</failure><script>&"\'\u0000\u0001\ud800\uffff]]>\u202e';
  const root = readXml(renderFindingsJunit(outcomeOf([{ check: 'unknown-name', severity: 'error', file: '/depot/a<b&"c.procedure.yaml', span: { start: 0, end: 0 },
    message: hostile, note: hostile, help: hostile, witness: [{ step: hostile }] }]), []));
  expect(root.all('failure')).toHaveLength(1);
  expect(root.all('script')).toHaveLength(0);
});
