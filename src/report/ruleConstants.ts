/** A rule's constants for the flight computer: a C header, and JSON. SI units, full digits. */
import type { FieldCard } from '../analysis/card/fieldCard.ts';
import { ruleKind } from '../avionics/rules/kinds.ts';

/** Everything the rule needs, as plain data. */
export function constantsJson(card: FieldCard): string {
  const { program, title, studyHash, rule, onboard } = card;
  const kind = ruleKind(rule.kind);
  const content = {
    program,
    title,
    studyHash,
    rule: rule.name,
    kind: rule.kind,
    meaning: kind.meaning,
    constants: kind.constants.map(({ key, unit, meaning }) => ({ name: key, value: rule.constants[key], unit, meaning })),
    lead: { value: rule.lead, unit: 's' },
    tiltGuard: { value: rule.tiltGuard, unit: 'rad' },
    insideTick: rule.insideTick,
    onboardModel: onboard,
  };
  return `${JSON.stringify(content, null, 2)}\n`;
}

/** Comments hold words of the study: nothing in them may end the comment, or the line. */
const comment = (text: string): string => text.replace(/\s+/g, ' ').replaceAll('*/', '* /').replaceAll('/*', '/ *');

/** In a string literal. */
const literal = (text: string): string =>
  `"${[...text]
    .map((c) => {
      if (c === '"' || c === '\\') return `\\${c}`;
      // Three octal digits end an escape whatever follows; question marks would make trigraphs.
      return /[ -~]/.test(c) && c !== '?'
        ? c
        : [...Buffer.from(c, 'utf8')].map((byte) => `\\${byte.toString(8).padStart(3, '0')}`).join('');
    })
    .join('')}"`;

/** A double that reads back to the same bits. */
function double(value: number): string {
  const text = String(value);
  return /[.e]/.test(text) ? text : `${text}.0`;
}

const macro = (key: string): string => `ALIGHT_${key.replace(/[A-Z]/g, (c) => `_${c}`).toUpperCase()}`;

/** `#define`s alone, fit for C89 and later. */
export function cHeader(card: FieldCard): string {
  const { rule, onboard } = card;
  const kind = ruleKind(rule.kind);
  const define = (name: string, value: string, words: string): string => `#define ${name} ${value} /* ${comment(words)} */`;
  const withUnit = (unit: string, words: string): string => (unit === '' ? words : `${unit}: ${words}`);
  const list = (values: readonly number[]): string => `{ ${values.map(double).join(', ')} }`;
  return `/*
 * Ignition rule ${comment(rule.name)} of "${comment(card.title)}". Made by ${comment(card.program)}
 * from study ${card.studyHash}
 * SI units. ${comment(kind.meaning)}.
 */
#ifndef ALIGHT_RULE_H
#define ALIGHT_RULE_H

${[
  define('ALIGHT_RULE_NAME', literal(rule.name), 'as the study names it'),
  define('ALIGHT_RULE_KIND', literal(rule.kind), kind.meaning),
  ...kind.constants.map(({ key, unit, meaning }) => define(macro(key), `(${double(rule.constants[key])})`, withUnit(unit, meaning))),
  define('ALIGHT_LEAD', `(${double(rule.lead)})`, 's: how far ahead heights are judged'),
  define('ALIGHT_TILT_GUARD', `(${double(rule.tiltGuard)})`, 'rad: ignition is withheld beyond this believed tilt'),
  define('ALIGHT_INSIDE_TICK', rule.insideTick ? '1' : '0', '1: the command is timed inside the tick'),
].join('\n')}

/* What a rule that predicts is told of the vehicle; others need none of it. */
${[
  define('ALIGHT_MODEL_MASS', `(${double(onboard.mass)})`, 'kg: at the ignition command'),
  define('ALIGHT_MODEL_CASING_MASS', `(${double(onboard.casingMass)})`, 'kg: of the spent ascent casing'),
  define('ALIGHT_MODEL_EJECT_DELAY', `(${double(onboard.ejectDelay)})`, 's: from landing thrust until that casing leaves'),
  define('ALIGHT_MODEL_PROPELLANT_MASS', `(${double(onboard.propellantMass)})`, 'kg: of the landing motor'),
  define('ALIGHT_MODEL_IGNITION_DELAY', `(${double(onboard.ignitionDelay)})`, 's: from command to thrust'),
  define('ALIGHT_MODEL_DRAG_CONSTANT', `(${double(onboard.dragConstant)})`, 'kg/m: drag over speed squared'),
  define('ALIGHT_MODEL_GRAVITY', `(${double(onboard.gravity)})`, 'm/s^2'),
  define('ALIGHT_MODEL_CURVE_POINTS', String(onboard.time.length), 'of the landing thrust curve'),
  define('ALIGHT_MODEL_CURVE_TIME', list(onboard.time), 's'),
  define('ALIGHT_MODEL_CURVE_THRUST', list(onboard.thrust), 'N'),
].join('\n')}

#endif
`;
}
