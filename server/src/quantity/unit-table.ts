/**
 * The units of a shop, as data. Factors are to the base unit of the kind (dimension.ts) and exact, unless marked.
 *
 * Sources of the factors: the International System itself; NIST SP 811 (2008) appendix B for the inch-pound units, whose
 * exact definitions are the yard and pound agreement of 1959 (inch 25.4 mm, pound 0.453 592 37 kg), the conventional
 * gravity 9.806 65 m/s², the US gallon of 231 in³, the imperial gallon of 4.546 09 L and the International Table Btu of
 * 1055.055 852 62 J. Columns of mercury and water use the conventional densities 13 595.1 and 1000 kg/m³ (from memory).
 */
export interface UnitRow {
  /** How it is printed. */
  readonly symbol: string;
  readonly ucum: string;
  readonly dimension: string;
  /** A product and quotient of decimals: `0.45359237*9.80665/0.0254`. */
  readonly factor: string;
  /** Kelvin added after the factor. */
  readonly offset?: string;
  /** Other spellings, told apart by capitals. */
  readonly spellings?: readonly string[];
  /** Spellings that may be written in any capitals. */
  readonly words?: readonly string[];
  /** SI prefixes it takes: letters of `PREFIXES`. */
  readonly prefixes?: string;
  /** Names that take the long prefixes: `volt` gives `millivolt`, `millivolts`. */
  readonly longName?: string;
  /** A second long name: `meter` beside `metre`. */
  readonly alsoLong?: string;
  /** What prefixes go before, where the bare symbol would be ambiguous: `µF`, but `farad`. */
  readonly prefixSymbol?: string;
  /** False where the true factor has no end (π). */
  readonly inexact?: true;
}

/** Letter, long name, power of ten. */
export const PREFIXES: readonly (readonly [letter: string, name: string, power: number])[] = [
  ['T', 'tera', 12], ['G', 'giga', 9], ['M', 'mega', 6], ['k', 'kilo', 3], ['h', 'hecto', 2], ['da', 'deca', 1],
  ['d', 'deci', -1],
  ['c', 'centi', -2], ['m', 'milli', -3], ['µ', 'micro', -6], ['n', 'nano', -9], ['p', 'pico', -12],
];

const POUND = '0.45359237';
const POUND_FORCE = '0.45359237*9.80665';
const INCH = '0.0254';
const FOOT = '0.3048';
const US_GALLON = '0.003785411784';
const IMPERIAL_GALLON = '0.00454609';
/** 1/2π turns have no exact decimal: 38 figures. */
const RADIAN_IN_TURNS = '0.15915494309189533576888376337251436203';

/** `lb·ft` is written in a dozen ways: `lb-ft`, `ft lb`, `ft-lbs`, `lbf ft` … */
function joined(first: readonly string[], second: readonly string[]): string[] {
  const spellings: string[] = [];
  for (const a of first) {
    for (const b of second) {
      for (const join of ['·', '-', ' ', '.', '*', '', '. ', '.-']) spellings.push(a + join + b, b + join + a);
    }
  }
  return spellings;
}

export const UNIT_ROWS: readonly UnitRow[] = [
  // Electricity
  { symbol: 'V', ucum: 'V', dimension: 'voltage', factor: '1', prefixes: 'MkmµTn', longName: 'volt' },
  { symbol: 'A', ucum: 'A', dimension: 'current', factor: '1', prefixes: 'kmµnp', longName: 'ampere', words: ['amp', 'amps', 'a (en)', 'a en',
    'a (sae)', 'a sae', 'amps cca', 'amp cca'], spellings: ['CCA', 'A CCA'] },
  { symbol: 'Ω', ucum: 'Ohm', dimension: 'resistance', factor: '1', prefixes: 'TGMkmµ', longName: 'ohm' },
  { symbol: 'kΩ', ucum: 'kOhm', dimension: 'resistance', factor: '1000', words: ['kilohm', 'kilohms', 'k-ohm', 'k-ohms'] },
  { symbol: 'MΩ', ucum: 'MOhm', dimension: 'resistance', factor: '1000000', words: ['megohm', 'megohms', 'meg', 'megs',
    'meg ohm', 'meg ohms', 'meg-ohm', 'meg-ohms', 'mega ohm', 'mega ohms'] },
  { symbol: 'S', ucum: 'S', dimension: 'conductance', factor: '1', prefixes: 'kmµn', longName: 'siemens', words: ['mho',
    'mhos'] },
  { symbol: 'farad', prefixSymbol: 'F', ucum: 'F', dimension: 'capacitance', factor: '1', prefixes: 'mµnp', longName: 'farad' },
  { symbol: 'µF', ucum: 'uF', dimension: 'capacitance', factor: '0.000001', words: ['mfd'] },
  { symbol: 'H', ucum: 'H', dimension: 'inductance', factor: '1', prefixes: 'mµn', longName: 'henry' },
  { symbol: 'Ah', ucum: 'A.h', dimension: 'charge', factor: '3600', prefixes: 'mk', spellings: ['A·h', 'A.h', 'A h', 'AH',
    'Amp-hour', 'A-h'], words: ['amp-hour', 'amp-hours', 'ampere-hour', 'ampere-hours', 'amp hours', 'amp hour',
    'ampere hours', 'amp hr', 'amp hrs', 'amp-hr', 'amp-hrs', 'amp.hr'] },
  { symbol: 'coulomb', ucum: 'C', dimension: 'charge', factor: '1', words: ['coulombs', 'coulomb'], spellings: ['A·s', 'As'] },
  { symbol: 'Ω/V', ucum: 'Ohm/V', dimension: 'resistance_per_voltage', factor: '1', prefixes: 'Mk', spellings: ['ohm/V', 'Ohm/V',
    'ohms/V', 'ohm per volt', 'ohms per volt'] },
  { symbol: 'Ω/m', ucum: 'Ohm/m', dimension: 'resistance_per_length', factor: '1', prefixes: 'mµ', spellings: ['ohm/m',
    'Ohm/m'] },
  { symbol: 'Ω/km', ucum: 'Ohm/km', dimension: 'resistance_per_length', factor: '0.001', spellings: ['ohm/km', 'Ohm/km'] },
  { symbol: 'Ω/1000 ft', ucum: 'Ohm/(10*3.[ft_i])', dimension: 'resistance_per_length', factor: '1/304.8',
    spellings: ['ohm/1000 ft', 'Ohm/1000 ft'] },
  // Frequency and turning
  { symbol: 'Hz', ucum: 'Hz', dimension: 'frequency', factor: '1', prefixes: 'GMk', longName: 'hertz', words: ['hz', 'cps'] },
  { symbol: 'rpm', ucum: '{rev}/min', dimension: 'rotational_speed', factor: '1/60', words: ['rpm', 'rev/min', 'r/min',
    'revs/min', 'r.p.m', 'r.p.m.', 'revolutions per minute', 'rev per min', 'revs per minute', '1/min', 'min^-1', 'min-1',
    'turns/min', '{rev}/min', 'u/min', 'umdr/min'] },
  { symbol: 'rev/s', ucum: '{rev}/s', dimension: 'rotational_speed', factor: '1', words: ['rps', 'r/s', 'rev/s', 'revs/s'] },
  { symbol: 'rad/s', ucum: 'rad/s', dimension: 'rotational_speed', factor: RADIAN_IN_TURNS, inexact: true },
  { symbol: '°/s', ucum: 'deg/s', dimension: 'rotational_speed', factor: '1/360', words: ['deg/s'] },
  { symbol: '°', ucum: 'deg', dimension: 'angle', factor: '1/360', words: ['angular degree', 'angular degrees',
    'degrees of angle', 'deg angle', '° angle'] },
  { symbol: 'arcmin', ucum: "'", dimension: 'angle', factor: '1/21600', words: ['arcminute', 'arcminutes', 'minute of arc',
    'minutes of arc'] },
  { symbol: 'arcsec', ucum: "''", dimension: 'angle', factor: '1/1296000', words: ['arcsecond', 'arcseconds'] },
  { symbol: 'rad', ucum: 'rad', dimension: 'angle', factor: RADIAN_IN_TURNS, inexact: true, prefixes: 'm', longName: 'radian' },
  { symbol: 'turn', ucum: 'circ', dimension: 'angle', factor: '1', words: ['turns', 'rev', 'revs', 'revolution', 'revolutions',
    '{rev}'] },
  // Temperature
  { symbol: '°C', ucum: 'Cel', dimension: 'temperature', factor: '1', offset: '273.15', spellings: ['°c'], words: ['degc',
    'deg c', 'deg. c', 'celsius', 'degrees celsius', 'degree celsius', 'degrees c', '° celsius', 'centigrade',
    'degrees centigrade', '° c'] },
  { symbol: '°F', ucum: '[degF]', dimension: 'temperature', factor: '5/9', offset: '459.67*5/9', spellings: ['°f'],
    words: ['degf', 'deg f', 'deg. f', 'fahrenheit', 'degrees fahrenheit', 'degree fahrenheit', 'degrees f', '° fahrenheit',
    '° f'] },
  { symbol: 'K', ucum: 'K', dimension: 'temperature_difference', factor: '1', prefixes: 'm', longName: 'kelvin', words: ['degk',
    'deg k', '°k'] },
  { symbol: 'Δ°C', ucum: 'K', dimension: 'temperature_difference', factor: '1', words: ['°c difference', '°c diff', 'delta °c',
    'δ°c', 'delta degc', 'degc difference', 'degc diff', 'c°', 'celsius degrees', '°c rise', '°c drop'] },
  { symbol: 'Δ°F', ucum: '[degR]', dimension: 'temperature_difference', factor: '5/9', words: ['°f difference', '°f diff',
    'delta °f', 'δ°f', 'delta degf', 'degf difference', 'degf diff', 'f°', 'fahrenheit degrees', '°f rise', '°f drop', '°r',
    'degr'] },
  // Pressure
  { symbol: 'Pa', ucum: 'Pa', dimension: 'pressure', factor: '1', prefixes: 'GMkh', longName: 'pascal' },
  { symbol: 'bar', ucum: 'bar', dimension: 'pressure', factor: '100000', prefixes: 'mµ', longName: 'bar' },
  { symbol: 'psi', ucum: '[psi]', dimension: 'pressure', factor: `${POUND_FORCE}/${INCH}/${INCH}`, words: ['psi', 'p.s.i',
    'p.s.i.', 'lbf/in2', 'lb/in2', 'lbf/in^2', 'lb/in^2', 'lbs/in2', 'lbf/sq in', 'lb/sq in', 'lbs/sq in',
    'pounds per square inch', 'lbf/in²', 'lb/in²', 'lbs/in²', 'lbs/in^2', 'lb/sq. in', 'lbs/sq. in', 'lbf/sq. in', 'lb/sq.in', 'lbs/sq.in',
    'lbf/sq.in', 'lbs per square inch', 'lb per square inch', 'lbf per square inch', 'lbs per sq in', 'lb per sq in', 'pounds/sq in'] },
  { symbol: 'ksi', ucum: '10*3.[psi]', dimension: 'pressure', factor: `1000*${POUND_FORCE}/${INCH}/${INCH}`, words: ['ksi'] },
  { symbol: 'inHg', ucum: '[in_i\'Hg]', dimension: 'pressure', factor: `13595.1*9.80665*${INCH}`, words: ['inhg', 'in hg',
    'in.hg', 'in. hg', '"hg', 'inches of mercury', 'inches mercury', 'in-hg', '" hg', 'in.-hg', 'in·hg', 'inches hg', 'inch hg',
    'inches of hg', 'in of hg', 'inch of mercury'] },
  { symbol: 'inHg vac', ucum: '[in_i\'Hg]{vac}', dimension: 'vacuum', factor: `13595.1*9.80665*${INCH}`, words: ['inches of vacuum',
    'inches vacuum', 'inch of vacuum', 'in of vacuum', 'in. of vacuum', 'in vac', 'in. vac', 'in vacuum', 'in. vacuum', 'inches vac'] },
  { symbol: 'mmHg', ucum: 'mm[Hg]', dimension: 'pressure', factor: '13595.1*9.80665*0.001', words: ['mmhg', 'mm hg',
    'millimetres of mercury', 'millimeters of mercury'] },
  { symbol: 'cmHg', ucum: 'cm[Hg]', dimension: 'pressure', factor: '13595.1*9.80665*0.01', words: ['cmhg', 'cm hg'] },
  { symbol: 'inH2O', ucum: '[in_i\'H2O]', dimension: 'pressure', factor: `1000*9.80665*${INCH}`, words: ['inh2o', 'in h2o',
    'in. h2o', '"h2o', '" h2o', 'inwc', 'in wc', 'in w.c', 'in. w.c', '"wc', '" wc', 'inches of water', 'in wg', 'inwg', 'inaq',
    'iwc', 'inches of water column', 'inches water column', 'inches water', 'inches wc', 'inches w.c', 'inches wg', 'in w.g', 'in. w.g', '"wg',
    '" wg', 'in of water', 'in. of water', 'in. wc', 'in. wg'] },
  { symbol: 'mmH2O', ucum: 'mm[H2O]', dimension: 'pressure', factor: '9.80665', words: ['mmh2o', 'mm h2o', 'mmwc', 'mm wc',
    'mmwg'] },
  { symbol: 'cmH2O', ucum: 'cm[H2O]', dimension: 'pressure', factor: '98.0665', words: ['cmh2o', 'cm h2o'] },
  { symbol: 'Torr', ucum: '', dimension: 'pressure', factor: '101325/760', words: ['torr'] },
  { symbol: 'atm', ucum: 'atm', dimension: 'pressure', factor: '101325', words: ['atm', 'atmosphere', 'atmospheres'] },
  { symbol: 'kgf/cm²', ucum: 'kgf/cm2', dimension: 'pressure', factor: '98066.5', words: ['kgf/cm2', 'kg/cm2', 'kp/cm2',
    'kgf/cm^2', 'kg/cm^2', 'ksc', 'kg/sq cm', 'kgf/sq cm', 'kg/sq. cm'] },
  { symbol: 'psi/min', ucum: '[psi]/min', dimension: 'pressure_rate', factor: `${POUND_FORCE}/${INCH}/${INCH}/60`,
    words: ['psi/min', 'psi per minute', 'psi per min'] },
  { symbol: 'bar/min', ucum: 'bar/min', dimension: 'pressure_rate', factor: '100000/60', words: ['bar/min', 'bar per minute'] },
  { symbol: 'kPa/min', ucum: 'kPa/min', dimension: 'pressure_rate', factor: '1000/60' },
  // Turning force and force
  { symbol: 'N·m', ucum: 'N.m', dimension: 'torque', factor: '1', prefixes: 'kmcM', spellings: ['N·m', 'Nm', 'N.m', 'N m', 'N-m',
    'N*m', 'n·m', 'n-m'], words: ['newton metre', 'newton metres', 'newton meter', 'newton meters', 'newton-metre',
    'newton-metres', 'newton-meter', 'newton-meters'] },
  { symbol: 'N·mm', ucum: 'N.mm', dimension: 'torque', factor: '0.001', spellings: ['Nmm', 'N.mm', 'N mm', 'N-mm'] },
  { symbol: 'N·cm', ucum: 'N.cm', dimension: 'torque', factor: '0.01', spellings: ['Ncm', 'N.cm', 'N cm', 'N-cm'] },
  { symbol: 'daN·m', ucum: 'daN.m', dimension: 'torque', factor: '10', spellings: ['daNm', 'daN.m', 'daN m', 'daN-m'] },
  { symbol: 'lb·ft', ucum: '[ft_i].[lbf_av]', dimension: 'torque', factor: `${POUND_FORCE}*${FOOT}`, words: [...joined(['lb',
    'lbs', 'lbf'], ['ft']), ...joined(['pound', 'pounds'], ['foot', 'feet'])] },
  { symbol: 'lb·in', ucum: '[in_i].[lbf_av]', dimension: 'torque', factor: `${POUND_FORCE}*${INCH}`, words: [...joined(['lb',
    'lbs', 'lbf'], ['in']), ...joined(['pound', 'pounds'], ['inch', 'inches'])] },
  { symbol: 'oz·in', ucum: '[in_i].[lbf_av]/16', dimension: 'torque', factor: `${POUND_FORCE}*${INCH}/16`,
    words: [...joined(['oz', 'ozf'], ['in']), ...joined(['ounce'], ['inch'])] },
  { symbol: 'kgf·m', ucum: 'kgf.m', dimension: 'torque', factor: '9.80665', words: joined(['kg', 'kgf', 'kp'], ['m']) },
  { symbol: 'kgf·cm', ucum: 'kgf.cm', dimension: 'torque', factor: '0.0980665', words: joined(['kg', 'kgf'], ['cm']) },
  { symbol: 'N', ucum: 'N', dimension: 'force', factor: '1', prefixes: 'Mk', longName: 'newton' },
  { symbol: 'daN', ucum: 'daN', dimension: 'force', factor: '10' },
  { symbol: 'lbf', ucum: '[lbf_av]', dimension: 'force', factor: POUND_FORCE, words: ['lbf', 'lb force', 'lbs force',
    'pound-force', 'pounds-force', 'pounds force', 'pound force'] },
  { symbol: 'ozf', ucum: '[lbf_av]/16', dimension: 'force', factor: `${POUND_FORCE}/16`, words: ['ozf', 'ounce-force',
    'ounces force'] },
  { symbol: 'kgf', ucum: 'kgf', dimension: 'force', factor: '9.80665', words: ['kgf', 'kp', 'kilogram-force', 'kilograms force',
    'kilopond'] },
  { symbol: 'N/mm', ucum: 'N/mm', dimension: 'stiffness', factor: '1000' },
  // Length, area, volume
  { symbol: 'm', ucum: 'm', dimension: 'length', factor: '1', prefixes: 'kdcmµ', longName: 'metre', alsoLong: 'meter' },
  { symbol: 'µm', ucum: 'um', dimension: 'length', factor: '0.000001', words: ['micron', 'microns'] },
  { symbol: 'nanometre', ucum: 'nm', dimension: 'length', factor: '0.000000001', words: ['nanometres', 'nanometer',
    'nanometers'] },
  { symbol: 'in', ucum: '[in_i]', dimension: 'length', factor: INCH, spellings: ['"', "''", 'in'], words: ['inch', 'inches',
    'in'] },
  { symbol: 'thou', ucum: '[mil_i]', dimension: 'length', factor: '0.0000254', words: ['thou', 'thous', 'thousandths',
    'thousandth of an inch', 'thousandths of an inch'] },
  { symbol: 'ft', ucum: '[ft_i]', dimension: 'length', factor: FOOT, words: ['ft', 'foot', 'feet'] },
  { symbol: 'yd', ucum: '[yd_i]', dimension: 'length', factor: '0.9144', words: ['yd', 'yds', 'yard', 'yards'] },
  { symbol: 'mi', ucum: '[mi_i]', dimension: 'length', factor: '1609.344', words: ['mile', 'miles'], spellings: ['mi'] },
  { symbol: 'mm²', ucum: 'mm2', dimension: 'area', factor: '0.000001', words: ['sq mm', 'sqmm', 'square millimetres', 'square millimeters',
    'mm sq', 'mmsq', 'sq. mm'],
    spellings: ['mm2', 'mm^2'] },
  { symbol: 'cm²', ucum: 'cm2', dimension: 'area', factor: '0.0001', words: ['sq cm'], spellings: ['cm2', 'cm^2'] },
  { symbol: 'm²', ucum: 'm2', dimension: 'area', factor: '1', words: ['sq m', 'square metres'], spellings: ['m2', 'm^2'] },
  { symbol: 'in²', ucum: '[in_i]2', dimension: 'area', factor: `${INCH}*${INCH}`, words: ['in2', 'in^2', 'sq in', 'square inches',
    'square inch'] },
  { symbol: 'ft²', ucum: '[ft_i]2', dimension: 'area', factor: `${FOOT}*${FOOT}`, words: ['ft2', 'ft^2', 'sq ft',
    'square feet'] },
  { symbol: 'L', ucum: 'L', dimension: 'volume', factor: '0.001', prefixes: 'hdcmµ', longName: 'litre', spellings: ['l'],
    alsoLong: 'liter', words: ['ltr', 'ltrs'] },
  { symbol: 'm³', ucum: 'm3', dimension: 'volume', factor: '1', words: ['cu m', 'cubic metres', 'cubic meters'], spellings: ['m3',
    'm^3'] },
  { symbol: 'cm³', ucum: 'cm3', dimension: 'volume', factor: '0.000001', words: ['cc', 'ccm', 'cu cm'], spellings: ['cm3',
    'cm^3'] },
  { symbol: 'in³', ucum: '[in_i]3', dimension: 'volume', factor: `${INCH}*${INCH}*${INCH}`, words: ['in3', 'in^3', 'cu in',
    'cubic inches', 'cubic inch', 'cid', 'ci', 'cu. in'] },
  { symbol: 'ft³', ucum: '[ft_i]3', dimension: 'volume', factor: `${FOOT}*${FOOT}*${FOOT}`, words: ['ft3', 'ft^3', 'cu ft',
    'cubic feet', 'cu. ft'] },
  { symbol: 'US gal', ucum: '[gal_us]', dimension: 'volume', factor: US_GALLON, words: ['us gal', 'us gallon', 'us gallons',
    'gal (us)', 'gal us', 'u.s. gal', 'usgal', 'gallon (us)', 'gallons (us)', 'us gals', 'u.s. gallon', 'u.s. gallons', 'gallon us', 'gallons us',
    'us liq gal', 'gal. us', 'gal. (us)', 'gal (us liq)', 'gal (u.s.)', 'us liquid gallon', 'us liquid gallons', 'american gallons', 'american gallon', 'usg'] },
  { symbol: 'imp gal', ucum: '[gal_br]', dimension: 'volume', factor: IMPERIAL_GALLON, words: ['imp gal', 'imp. gal', 'uk gal',
    'imperial gal', 'imperial gallon', 'imperial gallons', 'uk gallon', 'uk gallons', 'gal (uk)', 'gal (imp)', 'gal uk',
    'gal imp', 'impgal', 'gallon (imp)', 'gallons (imp)', 'british gallon', 'british gallons', 'gallon uk', 'gallons uk',
    'gal. imp', 'gal. (imp)', 'gal. uk', 'gallons imperial', 'gallon imperial', 'gallons imp', 'imp. gallons', 'imp gallons', 'imp gallon', 'gallon (uk)', 'gallons (uk)'] },
  { symbol: 'US qt', ucum: '[qt_us]', dimension: 'volume', factor: `${US_GALLON}/4`, words: ['us qt', 'us quart', 'us quarts',
    'qt (us)', 'qt us'] },
  { symbol: 'imp qt', ucum: '[qt_br]', dimension: 'volume', factor: `${IMPERIAL_GALLON}/4`, words: ['imp qt', 'uk qt',
    'imperial quart', 'imperial quarts', 'qt (imp)', 'qt (uk)'] },
  { symbol: 'US pt', ucum: '[pt_us]', dimension: 'volume', factor: `${US_GALLON}/8`, words: ['us pt', 'us pint', 'us pints',
    'pt (us)'] },
  { symbol: 'imp pt', ucum: '[pt_br]', dimension: 'volume', factor: `${IMPERIAL_GALLON}/8`, words: ['imp pt', 'uk pt',
    'imperial pint', 'imperial pints', 'pt (imp)', 'pt (uk)'] },
  { symbol: 'US fl oz', ucum: '[foz_us]', dimension: 'volume', factor: `${US_GALLON}/128`, words: ['us fl oz', 'us fl. oz',
    'us fluid ounce', 'us fluid ounces', 'fl oz (us)', 'fl. oz. (us)', 'fl oz us', 'u.s. fl oz', 'u.s. fl. oz'] },
  { symbol: 'imp fl oz', ucum: '[foz_br]', dimension: 'volume', factor: `${IMPERIAL_GALLON}/160`, words: ['imp fl oz', 'uk fl oz',
    'imperial fluid ounce', 'imperial fluid ounces', 'fl oz (imp)', 'fl oz (uk)', 'fl. oz. (imp)', 'fl. oz. (uk)', 'imp fl. oz'] },
  // Mass
  { symbol: 'g', ucum: 'g', dimension: 'mass', factor: '0.001', prefixes: 'kmµ', longName: 'gram', words: ['gm'] },
  { symbol: 'kg', ucum: 'kg', dimension: 'mass', factor: '1', words: ['kg', 'kgs', 'kilo', 'kilos'] },
  { symbol: 't', ucum: 't', dimension: 'mass', factor: '1000', words: ['tonne', 'tonnes', 'metric ton', 'metric tons'],
    spellings: ['t'] },
  { symbol: 'lb', ucum: '[lb_av]', dimension: 'mass', factor: POUND, words: ['lb', 'lbs', 'lbm', 'pound', 'pounds', 'lb mass'] },
  { symbol: 'oz av', ucum: '[oz_av]', dimension: 'mass', factor: `${POUND}/16`, words: ['oz av', 'oz avdp', 'oz mass',
    'oz (mass)', 'oz (av)', 'ounce (mass)', 'ounces (mass)', 'oz weight'] },
  { symbol: 'US ton', ucum: '[ston_av]', dimension: 'mass', factor: `2000*${POUND}`, words: ['us ton', 'us tons', 'short ton',
    'short tons', 'ton (us)', 'tons (us)'] },
  { symbol: 'long ton', ucum: '[lton_av]', dimension: 'mass', factor: `2240*${POUND}`, words: ['long ton', 'long tons',
    'imperial ton', 'imperial tons', 'uk ton', 'uk tons', 'ton (uk)', 'tons (uk)'] },
  { symbol: 'st', ucum: '[stone_av]', dimension: 'mass', factor: `14*${POUND}`, words: ['stone', 'stones'] },
  // Flow
  { symbol: 'L/min', ucum: 'L/min', dimension: 'flow_rate', factor: '0.001/60', words: ['l/min', 'lpm', 'ltr/min', 'litres/min',
    'liters/min', 'litres per minute', 'liters per minute', 'l/m', 'litre/min', 'l per min', 'l.min-1'] },
  { symbol: 'mL/min', ucum: 'mL/min', dimension: 'flow_rate', factor: '0.000001/60', words: ['ml/min', 'cc/min', 'cm3/min'] },
  { symbol: 'L/s', ucum: 'L/s', dimension: 'flow_rate', factor: '0.001', words: ['l/s', 'litres per second',
    'liters per second'] },
  { symbol: 'L/h', ucum: 'L/h', dimension: 'flow_rate', factor: '0.001/3600', words: ['l/h', 'l/hr', 'lph', 'litres per hour',
    'liters per hour'] },
  { symbol: 'm³/h', ucum: 'm3/h', dimension: 'flow_rate', factor: '1/3600', words: ['m3/h', 'm^3/h', 'm3/hr',
    'cubic metres per hour'] },
  { symbol: 'm³/s', ucum: 'm3/s', dimension: 'flow_rate', factor: '1', words: ['m3/s', 'm^3/s'] },
  { symbol: 'm³/min', ucum: 'm3/min', dimension: 'flow_rate', factor: '1/60', words: ['m3/min', 'm^3/min'] },
  // SP 811 B.8 lists 'gallon [U.S.] per minute (gpm)': the abbreviation is read as it stands there.
  { symbol: 'US gpm', ucum: '[gal_us]/min', dimension: 'flow_rate', factor: `${US_GALLON}/60`, words: ['gpm', 'us gpm', 'usgpm',
    'gpm (us)', 'us gal/min', 'us gallons per minute', 'u.s. gpm', 'us gallons/min', 'u.s. gal/min', 'u.s. gallons per minute'] },
  { symbol: 'imp gpm', ucum: '[gal_br]/min', dimension: 'flow_rate', factor: `${IMPERIAL_GALLON}/60`, words: ['imp gpm', 'uk gpm',
    'igpm', 'gpm (imp)', 'gpm (uk)', 'imp gal/min', 'uk gal/min', 'imperial gallons per minute'] },
  { symbol: 'US gph', ucum: '[gal_us]/h', dimension: 'flow_rate', factor: `${US_GALLON}/3600`, words: ['us gph', 'us gal/h',
    'gph (us)', 'us gallons per hour'] },
  { symbol: 'imp gph', ucum: '[gal_br]/h', dimension: 'flow_rate', factor: `${IMPERIAL_GALLON}/3600`, words: ['imp gph', 'uk gph',
    'imp gal/h', 'imperial gallons per hour'] },
  { symbol: 'cfm', ucum: '[cft_i]/min', dimension: 'flow_rate', factor: `${FOOT}*${FOOT}*${FOOT}/60`, words: ['cfm', 'ft3/min',
    'ft^3/min', 'cu ft/min', 'cubic feet per minute'] },
  { symbol: 'kg/h', ucum: 'kg/h', dimension: 'mass_flow', factor: '1/3600', words: ['kg/h', 'kg/hr'] },
  // Speed, acceleration, time
  { symbol: 'km/h', ucum: 'km/h', dimension: 'speed', factor: '1/3.6', words: ['km/h', 'kph', 'kmh', 'km/hr', 'kmph',
    'kilometres per hour', 'kilometers per hour'] },
  { symbol: 'm/s', ucum: 'm/s', dimension: 'speed', factor: '1', words: ['m/s', 'metres per second', 'meters per second'] },
  { symbol: 'mm/s', ucum: 'mm/s', dimension: 'speed', factor: '0.001', words: ['mm/s', 'mm/sec'] },
  { symbol: 'm/min', ucum: 'm/min', dimension: 'speed', factor: '1/60', words: ['m/min'] },
  { symbol: 'mph', ucum: '[mi_i]/h', dimension: 'speed', factor: '1609.344/3600', words: ['mph', 'mi/h', 'miles per hour',
    'm.p.h', 'miles/h', 'mi/hr', 'miles/hr'] },
  { symbol: 'kn', ucum: '[kn_i]', dimension: 'speed', factor: '1852/3600', words: ['knot', 'knots', 'kt', 'kts'] },
  { symbol: 'ft/s', ucum: '[ft_i]/s', dimension: 'speed', factor: FOOT, words: ['ft/s', 'fps', 'ft/sec'] },
  { symbol: 'ft/min', ucum: '[ft_i]/min', dimension: 'speed', factor: `${FOOT}/60`, words: ['ft/min', 'fpm'] },
  { symbol: 'm/s²', ucum: 'm/s2', dimension: 'acceleration', factor: '1', words: ['m/s2', 'm/s^2'] },
  { symbol: 'gₙ', ucum: '[g]', dimension: 'acceleration', factor: '9.80665', words: ['g-force', 'gₙ', 'g force'] },
  { symbol: 's', ucum: 's', dimension: 'time', factor: '1', prefixes: 'mµn', longName: 'second', words: ['sec', 'secs'] },
  { symbol: 'min', ucum: 'min', dimension: 'time', factor: '60', words: ['min', 'mins', 'minute', 'minutes'] },
  { symbol: 'h', ucum: 'h', dimension: 'time', factor: '3600', words: ['hr', 'hrs', 'hour', 'hours'] },
  { symbol: 'd', ucum: 'd', dimension: 'time', factor: '86400', words: ['day', 'days'], spellings: ['d'] },
  { symbol: 'week', ucum: 'wk', dimension: 'time', factor: '604800', words: ['week', 'weeks', 'wk', 'wks'] },
  // Mean Gregorian and Julian years differ; UCUM's month and year are the Julian ones.
  { symbol: 'month', ucum: 'mo', dimension: 'time', factor: '2629800', words: ['month', 'months'] },
  { symbol: 'year', ucum: 'a', dimension: 'time', factor: '31557600', words: ['year', 'years', 'yr', 'yrs'] },
  // Energy and power
  { symbol: 'J', ucum: 'J', dimension: 'energy', factor: '1', prefixes: 'GMk', longName: 'joule' },
  { symbol: 'Wh', ucum: 'W.h', dimension: 'energy', factor: '3600', prefixes: 'GMkm', spellings: ['W·h', 'W.h', 'W h'],
    longName: 'watt-hour' },
  { symbol: 'Btu', ucum: '[Btu_IT]', dimension: 'energy', factor: '1055.05585262', words: ['btu', 'btus'] },
  // SP 811 B.8 lists both calories; a nutrition label and a boiler plate mean different ones.
  { symbol: 'cal th', ucum: 'cal_th', dimension: 'energy', factor: '4.184', words: ['cal th', 'cal (th)', 'thermochemical calories'] },
  { symbol: 'cal IT', ucum: 'cal_IT', dimension: 'energy', factor: '4.1868', words: ['cal it', 'cal (it)'] },
  { symbol: 'kcal th', ucum: 'kcal_th', dimension: 'energy', factor: '4184', words: ['kcal th', 'kcal (th)'] },
  { symbol: 'kcal IT', ucum: 'kcal_IT', dimension: 'energy', factor: '4186.8', words: ['kcal it', 'kcal (it)'] },
  { symbol: 'W', ucum: 'W', dimension: 'power', factor: '1', prefixes: 'GMkmµ', longName: 'watt' },
  { symbol: 'hp', ucum: '[HP]', dimension: 'power', factor: `550*${FOOT}*${POUND_FORCE}`, words: ['hp', 'bhp', 'horsepower'] },
  { symbol: 'PS', ucum: '', dimension: 'power', factor: '75*9.80665', spellings: ['PS', 'ps', 'CV', 'cv', 'metric hp'],
    words: ['metric horsepower'] },
  { symbol: 'Btu/h', ucum: '[Btu_IT]/h', dimension: 'power', factor: '1055.05585262/3600', words: ['btu/h', 'btu/hr', 'btuh'] },
  { symbol: 'VA', ucum: 'V.A', dimension: 'power', factor: '1', prefixes: 'Mkm', spellings: ['V·A', 'V.A'] },
  // Plain numbers, light, sound, fluids
  { symbol: '%', ucum: '%', dimension: 'ratio', factor: '0.01', words: ['percent', 'per cent', 'pct', '% duty', '% duty cycle',
    '%duty', '% duty-cycle', 'percent duty', 'percent duty cycle', '% rh', '%rh', '% r.h', '%r.h', '% relative humidity', '% humidity', 'percent rh',
    '% soc', '%soc', '% by volume', '% vol', '% v/v', 'vol %', 'vol.%', 'vol.-%', '% lel', '%lel'] },
  { symbol: '‰', ucum: '[ppth]', dimension: 'ratio', factor: '0.001', words: ['per mille', 'per mil', 'permille'] },
  { symbol: 'ppm', ucum: '[ppm]', dimension: 'ratio', factor: '0.000001', words: ['ppm'] },
  { symbol: 'SG', ucum: '1', dimension: 'ratio', factor: '1', words: ['sg', 's.g', 's.g.', 'sp gr', 'sp. gr',
    'specific gravity'] },
  { symbol: 'dB', ucum: 'dB', dimension: 'sound_level', factor: '1', words: ['db', 'decibel', 'decibels', 'db(a)', 'dba',
    'db (a)', 'db a', 'db(c)', 'dbc'] },
  { symbol: 'lx', ucum: 'lx', dimension: 'illuminance', factor: '1', prefixes: 'k', longName: 'lux' },
  { symbol: 'fc', ucum: 'lm/[ft_i]2', dimension: 'illuminance', factor: `1/${FOOT}/${FOOT}`, words: ['fc', 'foot-candle',
    'foot-candles', 'footcandle', 'footcandles'] },
  { symbol: 'kg/m³', ucum: 'kg/m3', dimension: 'density', factor: '1', words: ['kg/m3', 'kg/m^3'] },
  { symbol: 'g/cm³', ucum: 'g/cm3', dimension: 'density', factor: '1000', words: ['g/cm3', 'g/cm^3', 'g/cc', 'g/ml', 'kg/l',
    'kg/dm3'] },
  { symbol: 'cSt', ucum: 'cSt', dimension: 'kinematic_viscosity', factor: '0.000001', words: ['cst', 'mm2/s', 'mm^2/s',
    'centistokes'] },
];

/** Spellings that mean more than one unit, and what they may mean. Refused with the choices: a gallon is not a gallon. */
export const AMBIGUOUS_SPELLINGS: Readonly<Record<string, readonly string[]>> = {
  gal: ['US gal', 'imp gal'], gals: ['US gal', 'imp gal'], gallon: ['US gal', 'imp gal'], gallons: ['US gal', 'imp gal'],
  qt: ['US qt', 'imp qt'], qts: ['US qt', 'imp qt'], quart: ['US qt', 'imp qt'], quarts: ['US qt', 'imp qt'],
  pt: ['US pt', 'imp pt'], pts: ['US pt', 'imp pt'], pint: ['US pt', 'imp pt'], pints: ['US pt', 'imp pt'],
  'fl oz': ['US fl oz', 'imp fl oz'], 'fl. oz': ['US fl oz', 'imp fl oz'], 'fluid ounce': ['US fl oz', 'imp fl oz'],
  'fluid ounces': ['US fl oz', 'imp fl oz'],
  oz: ['oz av', 'US fl oz', 'imp fl oz', 'ozf'], ounce: ['oz av', 'US fl oz', 'imp fl oz', 'ozf'], ounces: ['oz av', 'US fl oz',
    'imp fl oz', 'ozf'],
  ton: ['t', 'US ton', 'long ton'], tons: ['t', 'US ton', 'long ton'],
  C: ['°C', 'coulomb'], c: ['°C', 'coulomb'], f: ['°F', 'farad'], F: ['°F', 'farad'],
  deg: ['°', '°C', '°F'], degs: ['°', '°C', '°F'], degree: ['°', '°C', '°F'], degrees: ['°', '°C', '°F'],
  cal: ['cal th', 'cal IT'], calorie: ['cal th', 'cal IT'], calories: ['cal th', 'cal IT'],
  kcal: ['kcal th', 'kcal IT'], kilocalorie: ['kcal th', 'kcal IT'], kilocalories: ['kcal th', 'kcal IT'], Cal: ['kcal th', 'kcal IT'],
  mil: ['thou', 'mm'], mils: ['thou', 'mm'],
  nm: ['N·m', 'nanometre'], NM: ['N·m', 'nanometre'],
  'gal/min': ['US gpm', 'imp gpm'], 'gallons per minute': ['US gpm', 'imp gpm'], 'gal/h': ['US gph', 'imp gph'], gph: ['US gph',
    'imp gph'],
  'gallons per hour': ['US gph', 'imp gph'],
  "'": ['ft', 'arcmin', 'min'],
};
