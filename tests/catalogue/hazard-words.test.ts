/** The trigger words of the catalogue: they find the dangerous instruction and leave the harmless one alone. */
import { describe, expect, it } from 'vitest';
import { loadCatalogue } from '../../server/src/catalogue/load-catalogue.ts';
import { findHazardPhrase, placeAskedFor } from '../../server/src/flow/words.ts';

const { hazards } = loadCatalogue();

/** Names of the hazards whose words stand in a text. */
function hazardsIn(text: string): string[] {
  return hazards
    .filter((hazard) => hazard.arisesFrom.words.some((phrase) => findHazardPhrase(text, phrase.value) !== undefined))
    .map((hazard) => hazard.name.value);
}

describe('trigger words', () => {
  it.each([
    ['Disconnect the battery negative lead.', ['battery_short_circuit']],
    ['Clean the BATTERY POSTS with a brush.', ['battery_short_circuit']],
    ['Take off the cell caps and top up the battery.', ['battery_acid']],
    ['Connect the jump leads.', ['battery_gas']],
    ['Start the engine.', ['moving_parts', 'exhaust_gas']],
    ['Crank the engine for 10 seconds.', ['cranking']],
    ['Release the parking brake.', ['roll_away']],
    ['Jack up the rear axle.', ['raised_load']],
    ['Raise the hopper to its full height.', ['raised_load']],
    ['Climb onto the load bed.', ['fall_from_height']],
    ['Cage the spring of the brake.', ['spring_energy']],
    ['Undo the hydraulic hose at the pump.', ['stored_pressure']],
    ['Look for hydraulic leaks at the cylinder.', ['fluid_injection']],
    ['Clean the fins with the blow gun.', ['compressed_air']],
    ['Discharge the capacitors with the resistor.', ['capacitor_charge']],
    ['Feel whether the exhaust pipe is loose.', ['hot_surface']],
    ['Remove the radiator cap.', ['scalding_coolant']],
    ['Replace the fuel filter.', ['fuel_fire']],
    ['Recover the refrigerant.', ['refrigerant_release']],
    ['Take off the brake dust with a damp cloth.', ['brake_dust']],
    ['Unplug the airbag connector under the seat.', ['restraint_deployment']],
    ['Unplug the high-voltage connector of the heater.', ['hazardous_dc_voltage']],
    ['Inflate the tyre to the pressure of the table.', ['tyre_burst']],
    ['Remove the wheel nuts in star order.', ['wheel_falls']],
    ['Lift out the battery.', ['heavy_lift']],
    ['Disconnect the negative battery cable.', ['battery_short_circuit']],
    ['Jump-start the truck.', ['battery_gas', 'moving_parts', 'exhaust_gas']],
    ['Listen at the pump with the engine running.', ['moving_parts', 'exhaust_gas']],
    ['Operate the starter for five seconds.', ['cranking']],
    ['Tilt the cab.', ['raised_load']],
    ['Set the frame on jack stands.', ['raised_load']],
    ['Loosen the injector pipes one by one.', ['fluid_injection']],
    ['Drain the reservoirs.', ['compressed_air']],
    ['Bleed the cooling system.', ['scalding_coolant']],
    ['Open the inverter.', ['hazardous_dc_voltage']],
    ['Remove the front wheel.', ['wheel_falls']],
    ['Remove the front wheel, then the chocks.', ['wheel_falls']],
    ['Undo the cap of the radiator.', ['scalding_coolant']],
    ['Slowly take the weight off, then loosen the cap on top of the expansion tank.', ['scalding_coolant']],
    ['Drain the old coolant into a pan.', ['scalding_coolant']],
    ['Pull off the upper radiator hose.', ['scalding_coolant']],
    ['Lift the rear axle with the jack.', ['raised_load']],
    ['Raise the left side with a trolley jack.', ['raised_load']],
    ['Lift the front end of the trailer with a crane.', ['raised_load']],
    ['Hoist the truck and slide the blocks in.', ['raised_load']],
    ['Reach beneath the tilted cab.', ['raised_load']],
    ['Slacken the union of the hydraulic pipe.', ['stored_pressure']],
    ['Crack open the union at the lift cylinder.', ['stored_pressure']],
    ['Loosen the line to the accumulator.', ['stored_pressure']],
    ['Unscrew the relief cartridge.', ['stored_pressure']],
    ['Take off the brake drum.', ['brake_dust']],
    ['Pull the rear brake drum off with the puller.', ['brake_dust']],
    ['Withdraw both brake shoes.', ['brake_dust']],
    ['Clean the linings of the rear brakes with a cloth.', ['brake_dust']],
    ['Unscrew the caps of the cells.', ['battery_acid']],
    ['Top up each cell of the battery.', ['battery_acid']],
    ['Take the clamps off the posts of the battery.', ['battery_short_circuit']],
    ['Undo the ground strap of the battery.', ['battery_short_circuit']],
    ['Put the battery on charge.', ['battery_gas']],
    ['Clip the charger to the posts of the battery.', ['battery_gas', 'battery_short_circuit']],
    ['Restart the diesel engine.', ['moving_parts', 'exhaust_gas']],
    ['Take off the cover of the belt guard.', ['moving_parts']],
    ['Unbolt the fan shroud.', ['moving_parts']],
    ['Spin the engine over twice.', ['cranking']],
    ['Turn the key to the start position.', ['cranking']],
    ['Let off the hand brake.', ['roll_away']],
    ['Uncouple the red air line.', ['compressed_air']],
    ['Empty the wet tank.', ['compressed_air']],
    ['Dry the bore with compressed air.', ['compressed_air']],
    ['Short the terminals of the capacitor with the resistor.', ['capacitor_charge']],
    ['Siphon the diesel out of the tank.', ['fuel_fire']],
    ['Undo the banjo of the fuel pump and catch the diesel, then open the fuel bowl.', ['fuel_fire']],
    ['Top up the air conditioning.', ['refrigerant_release']],
    ['Disconnect the plug of the belt tensioner.', ['restraint_deployment']],
    ['Unplug both orange connectors.', ['hazardous_dc_voltage']],
    ['Take off the cover of the inverter.', ['hazardous_dc_voltage']],
    ['Open the distribution cabinet.', ['hazardous_ac_voltage']],
    ['Pump up each tyre to the pressure of the table.', ['tyre_burst']],
    ['Lever the lock ring of the wheel out.', ['tyre_burst']],
    ['Spin off the last wheel nut.', ['wheel_falls']],
    ['Unhook the return spring.', ['spring_energy']],
    ['Climb up on the load bed.', ['fall_from_height']],
    ['Undo the nuts of the injectors one by one.', ['fluid_injection']],
  ])('%s', (text, expected) => {
    expect(hazardsIn(text)).toEqual(expected);
  });

  it.each([
    'Apply the parking brake.',
    'Chock a wheel on both sides.',
    'Remove the wheel chocks.',
    'Remove the front wheel chocks.',
    'Take off the rear wheel-trim.',
    'Remove the left wheel speed sensors.',
    'Wait until the engine has stopped.',
    'Read the pressure on the dash gauge.',
    'Do the brake lamps work?',
    'Pull out the fuse of the fuel pump.',
    'Is the fuel tank at least a quarter full?',
    'Is it a petrol engine?',
    'Read the charge of the traction battery on the dash.',
    'Measure the thickness of the brake pads.',
    'Stop the engine.',
    'Turn the isolator off.',
    'Measure the voltage at the fuse.',
    'Is the charge lamp lit?',
    'Read the gauge when the pressure no longer rises.',
    'Where is the oil level with the platform on the ground?',
    'Set the pointers of all nuts in line.',
    'Fit a fuse of the same rating.',
    'Wait until the air compressor stops.',
    'Is the airbag lamp dark after three seconds?',
    'Write the tyre pressure on the sheet.',
    'Note the fuel level.',
    'Spring back the cover clip.',
    'Open the cabinet with the key.',
    'Unplug the lamp lead from the truck.',
    'How does the brake pedal feel?',
    'The battery of the key is flat.',
    'Plug in the connector of the level sensor.',
    'Does the lock ring turn by hand?',
    'Is the frame of the radiator straight?',
    'Let the engine cool until a hand can rest on the upper tank.',
    'Let the engine cool until you can rest a hand on the side of the radiator.',
    'Hold a sheet of paper to the front of the radiator. Stop the engine afterwards.',
    'Does the fan pull air hard through the radiator?',
    'Lift the mat of the cab.',
    'Lift the lid of the fuse box.',
    'In which position is the cab switch of the lift?',
    'Does the blade rise while the lever is held up?',
    'Does the lifted blade stay up for 10 minutes with the lever at rest?',
    'Does the hopper still sink with the lowering valve blanked off?',
    'Take off the horn cover.',
    'Take the cowl off.',
    'Remove the cover of the fuse box.',
    'Open the lid of the scrubber.',
    'Open the battery cover.',
    'Is the battery cover closed and latched?',
    'Push the battery plug in.',
    'Pull the plug off the valve coil.',
    'Does the valve click when the heat is turned up?',
    'Is the lamp at the plug of the flow valve lit?',
    'Which relay opens the hydraulic valve?',
    'Is there oil at the rams?',
    'Does oil run back through the check valve when you look through the sight glass?',
    'Plug in the fuel cut-off valve.',
    'Remove the relay of the fuel pump.',
    'Take the fuse of the fuel pump out of its holder.',
    'Note: the fuse box is behind the glove box.',
    'Pull each plug. Look for water and green pins.',
    'Read the highest pressure, when the governor stops the build-up.',
    'Let the pressure rise until the governor stops the build-up.',
    'Does the compressor start, and stop at its cut-out pressure?',
    'Inspect the insulating gloves for holes with air.',
    'A second person holds the brake pedal down.',
    'Press the brake pedal until the gauge shows less than 80 psi.',
    'Take the chocks away.',
    'How do the wheel nuts look?',
    'How does each wheel sound when you tap it with a wooden handle?',
    'Stand beside the wheels, not in front of them.',
    'Set wheel chocks on both sides of a rear wheel.',
    'Connect the clamp meter around the bridge lead.',
    'Switch the charger of the generator off.',
    'Pull the lead of the charger out of the socket.',
    'Pull the mains plug.',
    'Plug in the mains lead.',
    'Open the main breaker of the panel.',
    'Open the roller door.',
    'Does the engine start and idle?',
    'Does the engine crank at normal speed three times in a row?',
    'Prevent the engine start with the stop lever.',
    'Hold the engine at 1500 rpm with the hand throttle.',
    'Release the stop lever.',
    'Does the lamp come on when the parking brake is applied?',
    'Is there a crust of salt between the disc and the guard?',
    'Connect the bonding lead to the test drum.',
    'Move the lever to the start of its travel.',
    'Does the step carry a person?',
    'Write down the charge current of the display.',
    'Is the tag of this half-year on the lead?',
  ])('leaves alone: %s', (text) => {
    expect(hazardsIn(text)).toEqual([]);
  });
});

describe('a phrase that stands for many', () => {
  const phrase = 'undo|open|remove|take_off … cap of the radiator|header_tank';

  it.each([
    ['Undo the cap of the radiator.', 'Undo the cap of the radiator'],
    ['Slowly take off the filler cap of each header\n tank.', 'take off the filler cap of each header\n tank'],
    ['REMOVE CAP OF THE RADIATORS', 'REMOVE CAP OF THE RADIATORS'],
  ])('finds %j', (text, found) => {
    const place = findHazardPhrase(text, phrase);
    expect(place && text.slice(place.start, place.end)).toBe(found);
  });

  it.each([
    'Open the bonnet, then look at the cap of the radiator.',
    'Open the bonnet. Look at the cap of the radiator.',
    'Open the bonnet while you hold the cap of the radiator.',
    'Remove the dust from the screen in front of the old cap of the radiator.',
    'Reopen the cap of the radiator.',
    'Undo the cap of the radiatory.',
  ])('does not find it in %j', (text) => {
    expect(findHazardPhrase(text, phrase)).toBeUndefined();
  });

  it('is not asked for where the sentence forbids it', () => {
    expect(placeAskedFor('Do not open the cap of the radiator.', phrase)).toBeUndefined();
    expect(placeAskedFor('Do not wait. Open the cap of the radiator.', phrase)).toBeDefined();
  });

  it('may be given with three full stops, and be broken without harm', () => {
    expect(findHazardPhrase('Open it by the cap.', 'open ... cap')).toBeDefined();
    for (const odd of ['', '…', '… the', '|', '_ | …', 'a|', '(open', 'cap …']) expect(() => findHazardPhrase('Open the cap (now).', odd)).not.toThrow();
  });
});
