/** Ignition rules as a block of a study file, ready to paste under the study's own. */
import { stringify } from 'yaml';
import { ruleKind } from '../avionics/rules/kinds.ts';
import type { RuleChoice } from '../study/study.ts';

const DEG = Math.PI / 180;

/** The text begins with `rules:` and ends with a newline. */
export function ruleBlock(rules: readonly RuleChoice[]): string {
  const entries = rules.map(({ name, kind, constants, lead, tiltGuard, insideTick }): [string, unknown] => {
    const values = ruleKind(kind).constants.map(({ key, unit }): [string, unknown] => [key, quantity(constants[key], unit)]);
    const entry = {
      kind,
      ...Object.fromEntries(values),
      lead: quantity(lead, 's'),
      tiltGuard: quantity(Number((tiltGuard / DEG).toPrecision(12)), 'deg'),
    };
    return [name, insideTick ? { ...entry, insideTick: 'on' } : entry];
  });
  // One rule a line reads best: a block of names, each with its values in braces.
  return `rules:\n${entries.map(([name, entry]) => `  ${line(name, entry)}\n`).join('')}`;
}

function line(name: string, entry: unknown): string {
  const value = stringify(entry, { collectionStyle: 'flow', lineWidth: 0 }).trim();
  return `${stringify(name).trim()}: ${value}`;
}

const quantity = (value: number, unit: string): number | string => (unit === '' ? value : `${value} ${unit}`);
