/**
 * Drops asked for and answered: what they say about burn heights, and the ignition rules one would write down from
 * them. Prints nothing.
 */
import { ruleKinds } from '../../avionics/rules/kinds.ts';
import type { RuleKind } from '../../avionics/rules/rule.ts';
import type { RunFacts } from '../../fleet/session.ts';
import { onboardModel } from '../../flight/setup.ts';
import { answerTable } from '../../results/answerTable.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { type Finished, type KeepOptions, keeping } from '../flights/keptResults.ts';
import { type StudyFacts, studyFacts } from '../flights/studyFacts.ts';
import { roundedConstants, withConstants } from './burnHeights.ts';
import { burnPoints, type Drops, flyDrops } from './drops.ts';
import { dropTable } from './dropTable.ts';
import { freeConstants, nearestTo } from './heightCoordinates.ts';

export interface DropRulesOptions extends KeepOptions {
  readonly steps?: number;
  readonly spread?: number;
  /** Name of the rule whose lead and tilt guard are flown; the study's first when left out. */
  readonly rule?: string;
  readonly overrides?: readonly string[];
}

/** What drops.json holds. */
export interface DropRules extends StudyFacts, Drops {
  readonly steps: number;
  /** As asked for. */
  readonly spread: number;
  /** Rules from the drops, rounded to what matters; by the study's own names where it has such rules. */
  readonly rules: readonly RuleChoice[];
  /** Rules that the drops give no sound constants for, and why. */
  readonly left: readonly { readonly kind: string; readonly why: string }[];
}

export interface Dropped extends Finished {
  readonly answers: DropRules;
}

/** Names of rules that a study does not have yet. */
const NAMES: Readonly<Record<string, string>> = { fixedHeight: 'fixed-height', apogeeLine: 'apogee-line', speedCurve: 'speed-curve' };
/** m: constants are rounded within this of lighting height. */
const ROUNDING = 0.001;

/**
 * @throws UserError for an unknown rule, a nominal flight that cannot be dropped, or a folder that cannot take results
 */
export async function dropRules(opened: OpenedStudy, options: DropRulesOptions = {}): Promise<Dropped> {
  const { study } = opened;
  const { steps = 11, spread = 0.15 } = options;
  const base = ruleByName(study, options.rule);
  return keeping(options, null, async (keeper) => {
    const begun = performance.now();
    const drops = flyDrops(study, { steps, spread, lead: base.lead, tiltGuard: base.tiltGuard });
    const facts = studyFacts(opened, options.overrides ?? []);
    const answers: DropRules = { ...facts, steps, spread, ...drops, ...rulesFrom(study, base, drops) };
    const seconds = (performance.now() - begun) / 1000;
    const run: RunFacts = { seconds, threads: 1, flightsPerSecond: drops.flown / seconds, node: process.version };
    const { title, studyHash } = answers;
    const table = await answerTable('drops', dropTable(drops.drops), { title, studyHash, rule: base.name });
    return { answers, run, folder: keeper.finish({ 'drops.json': answers, 'drops.arrow': table }, opened.text, run, true) };
  });
}

function rulesFrom(study: Study, base: RuleChoice, drops: Drops): Pick<DropRules, 'rules' | 'left'> {
  const rules: RuleChoice[] = [];
  const left: { kind: string; why: string }[] = [];
  for (const kind of ruleKinds()) {
    const own = study.rules.find((rule) => rule.kind === kind.kind);
    if (own === undefined && !(kind.kind in NAMES)) continue;
    const named = { ...base, name: own?.name ?? NAMES[kind.kind], kind: kind.kind, constants: own?.constants ?? {} };
    const found = constantsFrom(kind, named, study, drops);
    if (typeof found === 'string') left.push({ kind: kind.kind, why: found });
    else rules.push(roundedConstants(withConstants(named, found), onboardModel(study), burnPoints(drops), ROUNDING));
  }
  return { rules, left };
}

/** Constants for a kind, or why there are none. */
function constantsFrom(kind: RuleKind, rule: RuleChoice, study: Study, drops: Drops): Readonly<Record<string, number>> | string {
  if (drops.fits === null) return 'no drop can be landed softly';
  const found = (): Readonly<Record<string, number>> | null => {
    switch (kind.kind) {
      case 'fixedHeight':
        return { height: drops.nominal.believedBurnHeight };
      case 'apogeeLine':
        return named(drops.fits?.belief.coefficients, 2);
      case 'speedCurve':
        return named(drops.fits?.speed?.coefficients, 3);
      default:
        return nearestTo(burnPoints(drops), rule, freeConstants(kind.kind, {}), onboardModel(study)).constants;
    }
  };
  const constants = found();
  if (constants === null) return 'the drops are braked from speeds that hardly differ';
  const outside = kind.constants.find(({ key, low, high }) => !(constants[key] >= low && constants[key] <= high));
  if (outside === undefined) return constants;
  return `${outside.key} would be ${constants[outside.key].toPrecision(4)}, outside ${outside.low} to ${outside.high} ${outside.unit}`.trimEnd();
}

/** Coefficients as c0, c1, ...; powers that were not fitted are 0. */
function named(coefficients: readonly number[] | undefined, count: number): Readonly<Record<string, number>> | null {
  if (coefficients === undefined) return null;
  return Object.fromEntries(Array.from({ length: count }, (_, i) => [`c${i}`, coefficients[i] ?? 0]));
}
