/** Commands and statements told apart, on sentences that the lists were not made from. */
import { describe, expect, test } from 'vitest';
import { isCommand, secondAction } from '../../server/src/checks/words/commands.ts';
import { ENGLISH } from '../../server/src/checks/words/english.ts';
import { countWords, sentencesOf, wordsOf } from '../../server/src/checks/words/sentences.ts';

const COMMANDS = [
  'Bleed the air from the fuel filter.',
  'With the key out, press the brake pedal ten times.',
  'Slacken the lock nut half a turn.',
  'If the hose is wet, wipe it dry before you look again.',
  'Do not loosen the union while the line is hot.',
  'Gently pry the connector off its pins.',
  'Drain the water trap into a tray.',
  'Torque the nuts to 600 N·m in a star pattern.',
  'Never reach past the guard.',
  'Before the next test, let the motor cool for ten minutes.',
  'Chock both rear wheels.',
  'To reach the valve, tilt the cab forward.',
  'Unhook the tension spring with the pliers.',
  'Swap the relays K1 and K2.',
  'From the driver seat, turn the key to position 2.',
  'Vent the tank through the drain cock.',
  'Oil the hinge with two drops.',
  'Tag the isolator with your name and the date.',
  'Once the gauge is steady, write down the reading.',
  'Back the adjuster off by three clicks.',
  'Test the relay on the bench.',
  'Crank the engine for 5 seconds.',
  'Rinse the spilt acid off with plenty of water.',
  'Sweep the sensor past the magnet from left to right.',
  'Again, lower the boom onto the stand.',
  'Seat the bulb with a quarter turn.',
  'Wiggle the harness near the bulkhead.',
  'Note the asset number from the plate.',
  'When the pump runs, close the bypass cock slowly.',
  'Put the dipstick back and pull it out once more.',
];

const STATEMENTS = [
  'The brake pedal must be firm.',
  'Oil level is between the marks.',
  'Lamp lights when the switch is pressed.',
  'Check valve opens at 3 bar.',
  'Drain plug is tight.',
  'The technician removes the panel.',
  'Removal of the four screws.',
  'It is important that the engine is cold.',
  'Voltage present at terminal 87.',
  'The fuse should be replaced.',
  'A second person is needed.',
  'Lock pin has been greased.',
  'You should now see the pressure rise.',
  'Cleaning of the ground point.',
  'There are two connectors behind the panel.',
  'Wheel nuts tightened to 600 N·m.',
  'Pump runs for a short moment.',
  'All covers are fitted.',
  'Battery disconnected.',
  'Plug must be dry and clean.',
  'Brake hose shows no cracks.',
  'Your hands must be dry.',
  'If the lamp is dark, the supply is missing.',
  'Care must be taken near the fan.',
];

/** A second set, written after the lists were last changed for the first. */
const MORE_COMMANDS = [
  'Undo the bleed nipple by half a turn.',
  'Spin each wheel by hand and listen.',
  'Refit the inspection plate with a new gasket.',
  'While the engine idles, feel the return hose.',
  'Collect the oil in a clean jar.',
  'Shine a torch through the sight glass.',
  'Enter the reading in the log.',
  'At the rear axle, measure the brake lining.',
  'Carefully slide the battery out of its tray.',
  'Stand clear of the boom.',
  'Trace the blue wire back to the fuse box.',
  'In cold weather, warm the pump for two minutes first.',
  'Pinch the vacuum hose shut.',
  'Switch to the 6 V range.',
  'Rock the cab from side to side.',
  'Leave the meter connected.',
  'Crack the union open and watch for bubbles.',
  'Count the flashes of the lamp.',
  'Tap the starter lightly with a soft mallet.',
  'Inflate the tyre to 8 bar from behind the cage.',
  'Rotate the shaft until the key faces up.',
  'If it still leaks, fit a new seal.',
  'Cover the battery with a rubber sheet.',
  'Ask the driver when the fault appears.',
  'Purge the line with nitrogen.',
];

const MORE_STATEMENTS = [
  'The meter reads zero.',
  'Seal is damaged.',
  'Charger must stay off.',
  'Replacement of the relay.',
  'Fan belt worn.',
  'The valve is closed by the spring.',
  'This step takes ten minutes.',
  'Pressure drops slowly.',
  'No movement of the boom.',
  'Hydraulic oil is hot.',
  'Operator stands on the left.',
  'Light comes on after two seconds.',
  'Brake shoes are checked for wear.',
  'When the pump is worn, the pressure is low.',
  'Correct fuse is fitted.',
  'It takes two people.',
  'Spring clip has come off.',
  'Testing the alternator.',
  'Both lamps should flash.',
  'Switch is in position 1.',
];

describe('commands', () => {
  for (const [name, commands, statements] of [['first', COMMANDS, STATEMENTS], ['second', MORE_COMMANDS, MORE_STATEMENTS]] as const) {
    test(`${name} set: at least 23 of 25 commands are taken for commands`, () => {
      const missed = commands.filter((sentence) => !isCommand(sentence, ENGLISH));
      expect(missed.length / commands.length, missed.join('\n')).toBeLessThanOrEqual(2 / 25);
    });

    test(`${name} set: at most 1 of 20 statements is taken for a command`, () => {
      const taken = statements.filter((sentence) => isCommand(sentence, ENGLISH));
      expect(taken.length / statements.length, taken.join('\n')).toBeLessThanOrEqual(1 / 20);
    });
  }
});

describe('second actions', () => {
  const second = (text: string): string | undefined => secondAction(sentencesOf(text, ENGLISH), ENGLISH)?.verb;
  test.each([
    ['Turn the isolator off and lock it.', 'lock'],
    ['Lower the boom, then switch the pump off.', 'switch'],
    ['Remove the cap. Fill the tank.', 'Fill'],
    ['If the lamp is dark, open the box and replace the fuse.', 'replace'],
  ])('%s', (text, verb) => expect(second(text)).toBe(verb));

  test.each([
    'Clean and tighten the ground points.',
    'Press and hold the button.',
    'Switch on the headlamps, the work lamps and the blower.',
    'Fit your lock and tag to the isolator.',
    'Lower the platform. Do not stand under it.',
    'Wait for the discharge time. The label gives it.',
    'Check the fuse and plug for burns.',
    'Hold the engine at 1500 rpm while you read the gauge and watch the lamp.',
    'Remove the nut and lock washer.',
    'Read sheet HV-1. See diagram WD-2.',
  ])('one action: %s', (text) => expect(second(text)).toBeUndefined());
});

describe('sentences and words', () => {
  test('a number with its unit, a hyphened word and a value shown are one word each', () => {
    expect(countWords(wordsOf('Set the cut-off to 12.4 V at {rated_load} and 35 N·m.', ENGLISH))).toBe(9);
  });

  test("'No.' and 'e.g.' end no sentence; a line break does", () => {
    expect(sentencesOf('See fig. 5 and No. 7. Stop.', ENGLISH).map(({ text }) => text)).toEqual(['See fig. 5 and No. 7.', 'Stop.']);
    expect(sentencesOf('Open the valve\nClose the valve', ENGLISH)).toHaveLength(2);
  });

  test('a long text is taken in parts without a word or a sentence lost', () => {
    const long = Array.from({ length: 700 }, (_, index) => `Turn the screw ${index} by hand.`).join(' ');
    expect(sentencesOf(long, ENGLISH).map(({ text }) => text).join(' ')).toBe(long);
    expect(sentencesOf(long, ENGLISH)).toHaveLength(700);
    const words = wordsOf('wheel '.repeat(5000), ENGLISH);
    expect(words).toHaveLength(5000);
    expect(words.every(({ text, span }) => text === 'wheel' && span.start % 6 === 0)).toBe(true);
  });

  test('spans are places in the text', () => {
    const text = '  Stop. Go on.';
    for (const { text: sentence, span } of sentencesOf(text, ENGLISH)) expect(text.slice(span.start, span.end)).toBe(sentence);
  });
});
