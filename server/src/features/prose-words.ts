/**
 * The words by which documents state conditions and ways on, as patterns: English, with the usual German ones. Data for
 * prose-conditions.ts; what follows from a word is said there.
 */

const any = (...words: readonly string[]): string => `(?:${words.join('|')})`;
const pattern = (...parts: readonly string[]): RegExp => new RegExp(parts.join(''), 'i');

const ARROW = '(?:->|=>|→)';
const DASH = '[,:–—-]';
const THEN = '(?:then\\s+)?';
const IT = any('it', 'they', 'there', 'this');
const IS = any('is', 'are', 'does', 'do', 'has');
const READING = `the (?:reading|value|voltage|resistance|current|pressure|time|temperature|result)s?`;

const STEP = '(?:steps?|schritte?|items?|tests?|paragraphs?|points?|no\\.?|nr\\.?|number|#)';
/** Of an item: a number, a number with a letter, or a letter alone. */
const LABEL = '(\\d{1,3}(?:\\.\\d{1,3})*(?:\\s?[a-z])?(?![\\w%°])|(?:[b-z](?=[.,;)\\s]|$)|a(?=[.,;)]|$)))';
const GO = any(
  'go on', 'go back', 'goto', 'go', 'proceed', 'continue', 'carry on', 'skip', 'jump', 'return', 'move on', 'move', 'advance', 'weiter', 'zurück',
  'repeat', 'do', 'perform', 'carry out', 'start again', 'start over',
);
const TO = any('to', 'with', 'at', 'from', 'mit', 'zu', 'bei');

/** 'Yes: …', 'No → …', 'OK - …': the answer, and what follows. */
export const ANSWER_FIRST = pattern(
  '^(?:if\\s+)?(yes|no|ja|nein|ok|okay|not ok|o\\.k\\.|pass|passed|fail|failed|good|bad|true|false)',
  `\\s*(?:[:=,–—.]|${ARROW}|-(?=\\s)|\\.\\.\\.)\\s*(.+)$`,
);
/** 'Oil at the rod? -> go to 5'. */
export const ASKED_FIRST = pattern(`^(.{2,80}?)\\?\\s*(?:${ARROW}|:|–|—|-(?=\\s))\\s*(.+)$`);
export const OTHERWISE = pattern(
  '^(?:',
  any('otherwise', 'else', 'if not', 'in all other cases', 'in any other case', 'sonst', 'andernfalls', 'wenn nicht', 'if otherwise'),
  `\\b\\s*${DASH}?|if ${IT} ${IS} not\\s*[,:])\\s*(.*)$`,
);
export const IF_SO = pattern('^(?:', any('if so', 'wenn ja', 'in this case', 'in that case'), `\\b\\s*${DASH}?|if ${IT} ${IS}\\s*[,:])\\s*(.*)$`);
export const CONDITION = pattern('^', any('if', 'when', 'whenever', 'where', 'should', 'in case(?: of)?', 'wenn', 'falls'), '\\s+(.*)$');
/** Between two branches of one sentence. */
export const NEXT_BRANCH = pattern(
  '\\s*(?:[,;/]|\\.|\\band\\b|\\bor\\b|–|—)\\s*(?=',
  any('otherwise', 'else', 'if not', 'if so', 'if it', 'if the', 'if they', 'if yes', 'if no', `no\\s*(?:[:=–—-]|${ARROW})`, 'not ok', 'fail\\s*[:=–—-]', 'sonst',
    'andernfalls', 'wenn'),
  '\\b)|\\s+(?=(?:otherwise|else)\\b)',
  `|\\s+(?=(?:no|nein|not ok|fail)\\s*(?:${ARROW}|:|=))`,
);

export const GO_WORD = pattern(`^${THEN}${GO}\\b`);
export const GO_LABEL = pattern(`\\b${GO}\\b(?:[^.;]*?(?:${STEP}\\s*|\\b${TO}\\s+)\\(?|\\s+)${LABEL}`);
export const BARE_LABEL = pattern(`^(?:${ARROW}|see|siehe)?\\s*(?:${STEP}\\s*)?\\(?${LABEL}\\)?\\s*[.)]?$`);
export const ARROW_LABEL = pattern(`${ARROW}\\s*(?:${STEP}\\s*)?${LABEL}`);
/** Where the way on begins behind what is done first. */
export const WAY_BEGINS = pattern(`(?:,?\\s*(?:and|then|und)\\s+(?:then\\s+)?)?(?:\\b${GO}\\b|${ARROW})(?=[^;]*${LABEL})`);
export const NEXT = pattern(
  `^${THEN}(?:(?:go|carry|move) on|continue|proceed|carry on|weiter)(?:\\s+(?:to|with|mit))?(?:\\s+(?:the|dem))?`,
  '(?:\\s+(?:next|following|nächsten)(?:\\s+(?:step|test|item|schritt))?)?\\.?$',
  `|^${THEN}go (?:on )?to the next (?:step|test|item)\\.?$|^next (?:step|test)?\\.?$`,
);
/** 'Stop' is no such word: the work stops there, and whether anything is well is not said. */
export const PASSES = pattern(
  '\\b',
  any(
    'end of (?:the )?(?:test|procedure|check|inspection|list)',
    '(?:test|procedure|check|inspection|work|job) (?:is )?(?:complete|completed|finished|done|ended|over)',
    'no fault(?: found)?',
    'return (?:the \\w+(?: \\w+)? |it )?to service',
    'release (?:the \\w+ |it )?(?:for|to) service',
    '(?:system|circuit|unit|vehicle|machine) is (?:ok|good|normal|in order|serviceable)',
  ),
  '\\b|^(?:end|done|finished|ende|fertig)\\.?$',
);
export const REPAIR = pattern(
  `^${THEN}`,
  any(
    'replace', 'renew', 'repair', 'clean', 'tighten', 'retighten', 'adjust', 'readjust', 'charge', 'recharge', 'fill', 'refill', 'top up', 'fit', 'refit', 'install',
    'lubricate', 'grease', 'bleed', 'reset', 'change', 'exchange', 'correct', 'restore', 'reconnect', 'connect', 'rectify', 'find (?:and|the)', 'remove', 'free',
    'overhaul', 'straighten', 'solder', 'splice', 'seal', 'flush', 'drain', 'calibrate', 'reprogram', 'mend', 'fix', 'swap', 're-?torque', 'ersetzen', 'tauschen',
  ),
  '\\b',
);
export const OR_REPAIR = pattern('\\b(?:or|and)\\s+(?:replace|renew|repair|exchange)\\b');
/** German puts the verb last. */
export const REPAIR_LAST = pattern(
  '\\b',
  any(
    'ersetzen', 'tauschen', 'austauschen', 'erneuern', 'reparieren', 'instand setzen', 'laden', 'füllen', 'auffüllen', 'reinigen', 'nachziehen', 'festziehen',
    'einstellen', 'schmieren', 'entlüften',
  ),
  '\\.?$',
);
/** The work ends, and someone else goes on. */
export const STOPS = pattern(`^${THEN}(?:stop|do not|never)\\b`);
export const REFER = pattern(`^${THEN}(?:see|refer|contact|call|consult|ask|inform|report|siehe|use)\\b`);

/** 'It is lower': than the limit that was given. */
export const RELATIVE = pattern(
  `^(?:(?:it|this|that|they|${READING}|reading|value) )?(?:(?:is|are) )?`,
  any('higher', 'lower', 'less', 'more', 'greater', 'smaller', 'slower', 'faster', 'longer', 'shorter', 'above', 'below'),
  '$',
);
export const OUTSIDE = pattern(
  "\\b(?:not|isn't|aren't|is no|out(?:side)?)\\b.*\\b",
  any('within', 'in range', 'in spec\\w*', 'correct', 'ok', 'okay', 'good', 'normal', 'as specified', 'as shown', 'of range', 'of spec\\w*', 'of tolerance',
    'of limits?', 'the limits?', 'specif\\w*', 'tolerance'),
  '\\b|^',
  any('incorrect', 'wrong', 'faulty', 'bad', 'abnormal', 'not ok', 'out of (?:range|spec\\w*|tolerance|limits?)', 'no good'),
  '\\b',
);
export const WITHIN = pattern(
  '\\b',
  any('within (?:the )?(?:range|limits?|spec\\w*|tolerance|values?)', 'in (?:range|spec\\w*|tolerance)', 'as specified', 'to spec\\w*'),
  `\\b|^(?:(?:it|this|that|${READING}) (?:is|are) )?(?:ok|okay|correct|good|normal|right|satisfactory|in order)$`,
);
