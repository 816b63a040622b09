/**
 * The JSON Schemas, made from the one table of keys. schemas.test.ts holds the files in schemas/ against what comes out of here;
 * `npx vitest run tests/schemas -u` writes them anew after the table has changed.
 */
import { STEP_KINDS, WAYS_ON, objectInfo, type KeyInfo, type ObjectInfo, type Shape } from '../../server/src/procedure/keys.ts';
import { QUANTITY_WORDS } from '../../server/src/quantity/quantity-words.ts';

export type Schema = { readonly [key: string]: unknown };

const DRAFT = 'https://json-schema.org/draft/2020-12/schema';
const IDENTIFIER = '^[a-z][a-z0-9_]*$';
/** Something is written there: YAML takes `4` for a number and `true` for a truth value, and both are texts to us. */
const TEXT = { type: ['string', 'number', 'boolean'], pattern: '\\S' } as const;
/** `a, b` without brackets is a list that was meant. */
const NAME = { ...TEXT, not: { type: 'string', pattern: '^[a-z0-9_]+(\\s*,\\s*[a-z0-9_]+)+$' } } as const;
const NAMES = { anyOf: [NAME, { type: 'array', items: TEXT, uniqueItems: true }] } as const;
const SOME_NAMES = { anyOf: [NAME, { type: 'array', items: TEXT, uniqueItems: true, minItems: 1 }] } as const;
const STATES = { type: 'object', additionalProperties: SOME_NAMES } as const;
/** A number, and a unit after it: which units there are is not the schema's to say. */
const QUANTITY = { type: 'string', pattern: '^\\s*[-+−]?\\s*[0-9.]' } as const;
const QUANTITY_WITH_UNIT = { ...QUANTITY, pattern: '^\\s*[-+−]?\\s*[0-9.].*[^0-9.,\\s/]' } as const;

/** The schema of a file that is one object of the table. */
export function schemaOf(root: string): Schema {
  const used = new Set<string>();
  const body = objectSchema(root, used);
  const definitions: Record<string, Schema> = {};
  const done = new Set<string>([root]);
  for (let open = [...used].filter((name) => !done.has(name)); open.length > 0; open = [...used].filter((name) => !done.has(name))) {
    for (const name of open) {
      definitions[name] = objectSchema(name, used);
      done.add(name);
    }
  }
  return {
    $schema: DRAFT, $id: `urn:faultwright:schema:${root}:1`, ...body,
    ...(Object.keys(definitions).length === 0 ? {} : { $defs: definitions }),
  };
}

function objectSchema(name: string, used: Set<string>): Schema {
  const info = objectInfo(name) as ObjectInfo;
  const required = Object.entries(info.keys).filter(([, key]) => key.required === true).map(([key]) => key);
  const properties: Record<string, Schema> = {};
  for (const [key, entry] of Object.entries(info.keys)) properties[key] = keySchema(key, entry, used);
  return {
    title: info.title.replace(/^an? /, '').replace(/^./, (letter) => letter.toUpperCase()), description: info.says, type: 'object',
    ...(required.length === 0 ? {} : { required }), ...rulesOf(name), additionalProperties: false, properties,
  };
}

/** What holds between the keys of an object. */
function rulesOf(name: string): Schema {
  const without = (...keys: string[]): Schema => ({ not: { required: keys } });
  if (name === 'step') {
    return {
      oneOf: STEP_KINDS.map((kind) => ({ required: [kind] })),
      dependentRequired: { ask: ['results'], decide: ['results'], seek: ['at_each'] },
      allOf: [without('do', 'results'), without('go', 'results')],
    };
  }
  if (name === 'result') return { allOf: WAYS_ON.flatMap((way, index) => WAYS_ON.slice(index + 1).map((other) => without(way, other))) };
  if (name === 'fact') return { oneOf: [{ required: ['choices'] }, { required: ['quantity'] }] };
  return {};
}

function keySchema(key: string, entry: KeyInfo, used: Set<string>): Schema {
  return { title: key, description: entry.says, ...shapeSchema(entry.value, used) };
}

function shapeSchema(shape: Shape, used: Set<string>): Schema {
  switch (shape.shape) {
    case 'text': case 'when': case 'band': case 'expression': return TEXT;
    case 'texts': return { anyOf: [TEXT, { type: 'array', items: TEXT }] };
    case 'name': return shape.declares === true ? { type: 'string', pattern: IDENTIFIER } : shape.of === 'quantity' ? { enum: QUANTITY_WORDS } : TEXT;
    case 'names': {
      if (shape.of === 'quantity') return { anyOf: [{ enum: QUANTITY_WORDS }, { type: 'array', items: { enum: QUANTITY_WORDS }, uniqueItems: true }] };
      return shape.some === true ? SOME_NAMES : NAMES;
    }
    case 'quantity':
      return shape.dimension === 'a quantity'
        ? { anyOf: [QUANTITY, { type: 'number' }], examples: [shape.example] } : { ...QUANTITY_WITH_UNIT, examples: [shape.example] };
    case 'number': return { type: shape.whole ? 'integer' : 'number', minimum: shape.least };
    case 'true': return { const: true };
    case 'choice': return { enum: shape.choices.flatMap((choice): (string | number)[] => (/^\d+$/.test(choice) ? [Number(choice), choice] : [choice])) };
    case 'states': case 'fact_values': return STATES;
    case 'assignments': return { type: 'object', additionalProperties: TEXT };
    case 'state_alternatives': return { anyOf: [STATES, { type: 'array', items: STATES }] };
    case 'probes': return { type: 'object', additionalProperties: TEXT };
    case 'points': {
      const point = { anyOf: [{ type: 'null' }, TEXT, reference('point', used)] };
      const named = { propertyNames: { pattern: IDENTIFIER }, additionalProperties: point };
      return {
        anyOf: [
          { type: 'array', items: { anyOf: [{ type: 'string', pattern: IDENTIFIER }, { type: 'object', minProperties: 1, maxProperties: 1, ...named }] }, uniqueItems: true },
          { type: 'object', ...named },
        ],
      };
    }
    case 'caution_uses':
      return { anyOf: [NAME, reference('caution', used), { type: 'array', items: { anyOf: [TEXT, reference('caution', used)] } }] };
    case 'shown_words': return { type: 'object', propertyNames: { enum: QUANTITY_WORDS }, additionalProperties: SOME_NAMES };
    case 'terms': return { type: 'object', additionalProperties: { anyOf: [TEXT, { type: 'array', items: TEXT }] } };
    case 'named_texts': return { type: 'object', additionalProperties: TEXT };
    case 'check_settings': return { type: 'object', additionalProperties: { enum: ['error', 'warning', 'hint', 'off'] } };
    case 'object': return reference(shape.object, used);
    case 'list': return { type: 'array', items: reference(shape.object, used) };
    case 'named': return namedSchema(shape, used);
  }
}

function namedSchema(shape: Extract<Shape, { shape: 'named' }>, used: Set<string>): Schema {
  if (shape.of === 'asset') return { type: 'object', additionalProperties: { anyOf: [{ type: 'null' }, { type: 'object', additionalProperties: TEXT }] } };
  const info = objectInfo(shape.object) as ObjectInfo;
  const mayBeEmpty = shape.object !== 'fact' && Object.values(info.keys).every((key) => key.required !== true);
  const value = [reference(shape.object, used), ...(shape.orTitle === true ? [TEXT] : []), ...(mayBeEmpty ? [{ type: 'null' }] : [])];
  return {
    type: 'object', propertyNames: shape.of === 'quantity' ? { enum: QUANTITY_WORDS } : { pattern: IDENTIFIER },
    additionalProperties: value.length === 1 ? value[0] : { anyOf: value },
  };
}

function reference(name: string, used: Set<string>): Schema {
  used.add(name);
  return { $ref: `#/$defs/${name}` };
}
