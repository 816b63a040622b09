/**
 * The built-in catalogue: common states, hazards, cautions, qualifications and values that every shop starts from. The data
 * stands in catalogue.yaml, in the format of a shop.yaml; nothing here knows what a hazard means.
 */
import type { Shop } from '../procedure/model.ts';
import { buildShop } from '../procedure/build-shop.ts';
import text from './catalogue.yaml';

/** The name under which findings and hovers speak of the catalogue, in place of a path. */
export const CATALOGUE_FILE = 'catalogue:built-in';

/** Its text, for a reader who goes to the declaration of a name of it. */
export const CATALOGUE_TEXT: string = text;

let built: Shop | undefined;

/** The built-in catalogue. Parsed at the first call, the same object at every later one. Never throws. */
export function loadCatalogue(): Shop {
  built ??= buildShop(CATALOGUE_FILE, text).shop;
  return built;
}
