/** Every part, in the order of the page. */
import './si-conversions.ts';
import './ucum.ts';
import './general-libraries.ts';
import './measurement-uncertainty.ts';
import './copper-wire.ts';
import './batteries.ts';
import './high-voltage.ts';
import './pressure-and-torque.ts';
import './refrigerant.ts';
import './catalogue-values.ts';

export { SOURCE_PARTS, valuesOf } from './check-source.ts';
