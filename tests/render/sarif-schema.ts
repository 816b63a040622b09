/**
 * The part of SARIF 2.1.0 that our output uses, as a JSON Schema. Written after the standard (OASIS, Static Analysis Results
 * Interchange Format (SARIF) Version 2.1.0, sections 3.13 to 3.61) from memory; every object is closed, so that a property that the
 * standard does not have there, or that we misspell, is refused.
 */
const text = { type: 'string' };
const natural = { type: 'integer', minimum: 1 };

function closed(properties: Record<string, unknown>, required: readonly string[] = []): Record<string, unknown> {
  return { type: 'object', properties, required, additionalProperties: false };
}

function list(items: unknown, least = 0): Record<string, unknown> {
  return { type: 'array', items, minItems: least };
}

const message = closed({ text, markdown: text, id: text }, ['text']);
const multiformat = closed({ text, markdown: text }, ['text']);
const artifactLocation = closed({ uri: { type: 'string', format: 'uri-reference' }, uriBaseId: text, index: { type: 'integer' } }, ['uri']);
const region = closed({ startLine: natural, startColumn: natural, endLine: natural, endColumn: natural }, ['startLine']);
const physicalLocation = closed({ artifactLocation, region }, ['artifactLocation']);
const logicalLocation = closed({ name: text, kind: text, fullyQualifiedName: text });
const location = closed({ id: { type: 'integer', minimum: -1 }, physicalLocation, logicalLocations: list(logicalLocation), message });
const level = { enum: ['none', 'note', 'warning', 'error'] };

const result = closed(
  {
    ruleId: text,
    ruleIndex: { type: 'integer', minimum: -1 },
    level,
    message,
    locations: list(location),
    codeFlows: list(closed({ message, threadFlows: list(closed({ locations: list(closed({ location }), 1) }, ['locations']), 1) }, ['threadFlows'])),
    relatedLocations: list(location),
    fixes: list(
      closed(
        {
          description: message,
          artifactChanges: list(
            closed({ artifactLocation, replacements: list(closed({ deletedRegion: region, insertedContent: closed({ text }) }, ['deletedRegion']), 1) }, ['artifactLocation', 'replacements']),
            1,
          ),
        },
        ['artifactChanges'],
      ),
    ),
    suppressions: list(closed({ kind: { enum: ['inSource', 'external'] }, status: { enum: ['accepted', 'underReview', 'rejected'] }, justification: text }, ['kind'])),
  },
  ['message'],
);

const rule = closed(
  {
    id: text,
    name: text,
    shortDescription: multiformat,
    fullDescription: multiformat,
    help: multiformat,
    helpUri: { type: 'string', format: 'uri' },
    defaultConfiguration: closed({ level, enabled: { type: 'boolean' } }),
    properties: { type: 'object', properties: { tags: list(text) } },
  },
  ['id'],
);

const driver = closed({ name: text, version: text, semanticVersion: text, informationUri: { type: 'string', format: 'uri' }, rules: list(rule) }, ['name']);

export const SARIF_SCHEMA = closed(
  {
    $schema: { type: 'string', format: 'uri' },
    version: { const: '2.1.0' },
    runs: list(closed({ tool: closed({ driver }, ['driver']), columnKind: { enum: ['utf16CodeUnits', 'unicodeCodePoints'] }, results: list(result) }, ['tool'])),
  },
  ['version', 'runs'],
);
