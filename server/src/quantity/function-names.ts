/** The names of functions in expressions. The computations of the catalogue are added by name; a test holds the two together. */
export const FUNCTION_NAMES: ReadonlySet<string> = new Set([
  'min', 'max', 'abs',
  'state_of_charge', 'load_test_minimum', 'load_test_current', 'wire_resistance', 'wire_resistance_awg', 'voltage_drop', 'voltage_drop_awg',
  'wire_area', 'wire_diameter', 'resistance_at', 'parallel', 'series', 'power_of', 'current_of', 'isolation_minimum_dc', 'isolation_minimum_ac',
  'adapter_setting', 'adapter_torque', 'leak_rate', 'build_up_time', 'saturation_pressure', 'saturation_temperature', 'shaft_power',
  'corrected_density', 'rest_voltage_of_density', 'cylinder_leakage', 'battery_internal_resistance',
]);
