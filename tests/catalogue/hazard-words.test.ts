/** The trigger words of the catalogue: they find the dangerous instruction and leave the harmless one alone. */
import { describe, expect, it } from 'vitest';
import { loadCatalogue } from '../../server/src/catalogue/load-catalogue.ts';
import { findPhrase } from '../../server/src/flow/words.ts';

const { hazards } = loadCatalogue();

/** Names of the hazards whose words stand in a text. */
function hazardsIn(text: string): string[] {
  return hazards
    .filter((hazard) => hazard.arisesFrom.words.some((phrase) => findPhrase(text, phrase.value) !== undefined))
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
    ['Jump-start the truck.', ['battery_gas']],
    ['Listen at the pump with the engine running.', ['moving_parts', 'exhaust_gas']],
    ['Operate the starter for five seconds.', ['cranking']],
    ['Tilt the cab.', ['raised_load']],
    ['Set the frame on jack stands.', ['raised_load']],
    ['Loosen the injector pipes one by one.', ['fluid_injection']],
    ['Drain the reservoirs.', ['compressed_air']],
    ['Bleed the cooling system.', ['scalding_coolant']],
    ['Open the inverter.', ['hazardous_dc_voltage']],
    ['Remove the front wheel.', ['wheel_falls']],
  ])('%s', (text, expected) => {
    expect(hazardsIn(text)).toEqual(expected);
  });

  it.each([
    'Apply the parking brake.',
    'Chock a wheel on both sides.',
    'Remove the wheel chocks.',
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
  ])('leaves alone: %s', (text) => {
    expect(hazardsIn(text)).toEqual([]);
  });
});
