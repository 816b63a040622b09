/** Holds a record against schemas/record.schema.json. */
import { Ajv2020 } from 'ajv/dist/2020.js';
import schema from '../../../schemas/record.schema.json';

let validate: ReturnType<Ajv2020['compile']> | undefined;

/** What of a record is not as the schema has it, in words: 'outcome/verdict must be equal to one of the allowed values'. At most `most`. */
export function schemaProblems(record: unknown, most = 5): string[] {
  validate ??= new Ajv2020({ allErrors: true, strict: true }).compile(schema);
  if (validate(record)) return [];
  const errors = validate.errors ?? [];
  // Where nothing fits one of many shapes, every shape complains: the place that is deepest says the most.
  const deepest = [...errors].sort((a, b) => depth(b.instancePath) - depth(a.instancePath));
  const words = deepest.map((error) => `${error.instancePath.replace(/^\//, '') || 'the record'} ${error.message ?? 'is not as it should be'}${extra(error.params)}`);
  return [...new Set(words)].slice(0, most);
}

function depth(path: string): number {
  return path.split('/').length;
}

function extra(params: Readonly<Record<string, unknown>>): string {
  return typeof params['additionalProperty'] === 'string' ? `: '${params['additionalProperty'].slice(0, 60)}'` : '';
}
