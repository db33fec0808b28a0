/** The program from TypeScript, without the command line: open a study, fly it, trace a flight, read results. */
export { type Compared, type CompareOptions, type Comparison, compareRules } from './analysis/compareRules.ts';
export { type DropRules, type DropRulesOptions, dropRules } from './analysis/dropRules.ts';
export { type Flown, type FlyOptions, flyStudy, type Summary } from './analysis/flyStudy.ts';
export { type TracedFlight, traceFlight } from './analysis/traceFlight.ts';
export { UserError } from './errors.ts';
export { OUTCOMES, OUTPUTS, type Outcome } from './flight/outputs.ts';
export { CATALOGUE } from './inputs/catalogue.ts';
export { openStudy } from './inputs/openStudy.ts';
export type { OpenedStudy } from './study/load.ts';
export type { Study } from './study/study.ts';
