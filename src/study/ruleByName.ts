/** An ignition rule of a study by the name a person gave. */
import { UserError } from '../errors.ts';
import { suggestion } from '../maths/nearest.ts';
import type { RuleChoice, Study } from './study.ts';

/** The named rule, or the study's first. @throws UserError for a name the study does not have. */
export function ruleByName(study: Study, wanted: string | undefined): RuleChoice {
  if (wanted === undefined) return study.rules[0];
  const found = study.rules.find(({ name }) => name === wanted);
  if (found !== undefined) return found;
  const names = study.rules.map(({ name }) => name);
  throw new UserError(`--rule: read "${wanted}"; expected one of the study's rules: ${names.join(', ')}.${suggestion(wanted, names)}`);
}
