/**
 * Which ignition rule is better? All rules fly the same flights, same inputs and same noise by flight number, and are
 * compared pair by pair (contest.ts); flights.arrow has its rows in the order of flying. Prints nothing.
 */
import { UserError } from '../../errors.ts';
import { flying } from '../../fleet/session.ts';
import { suggestion } from '../../maths/nearest.ts';
import { answerTable } from '../../results/answerTable.ts';
import type { OpenedStudy } from '../../study/load.ts';
import type { Study } from '../../study/study.ts';
import { type AnswerFiles, type Finished, type FlyingOptions, IN_PLACE_OF_PARTS, keeping, refuseInParts } from '../flights/keptResults.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import { LEVEL } from '../fly/summary.ts';
import { retune, retuneBudget } from '../shift/retune.ts';
import { checkAcross } from './across.ts';
import { acrossTable } from './acrossTable.ts';
import type { Comparison } from './comparison.ts';
import { contest, everyTwo } from './contest.ts';

export interface CompareOptions extends FlyingOptions {
  /** Names of the rules to compare, two or more; all of the study's when left out. */
  readonly rules?: readonly string[];
  /** Fly until every pair is decided; the study's flights are then the most. */
  readonly untilResolved?: boolean;
  /** Difference in success share that does not matter: within it a pair counts as alike. Only with `untilResolved`. */
  readonly margin?: number;
  /** Varying inputs along which success is shown. */
  readonly across?: readonly string[];
  /** Fly each rule with its lighting height shifted to where most touchdowns are soft (retune.ts). */
  readonly retune?: boolean;
}

export interface Compared extends Finished {
  readonly comparison: Comparison;
}

/** The rules to compare. @throws UserError for an unknown one, one named twice, or fewer than two. */
export function rivals(study: Study, wanted: readonly string[] | undefined): readonly string[] {
  const known = study.rules.map((rule) => rule.name);
  const problems: string[] = [];
  const chosen = wanted ?? known;
  for (const name of new Set(chosen)) {
    if (!known.includes(name)) {
      problems.push(`--rules: read "${name}"; expected names of the study's rules: ${known.join(', ')}.${suggestion(name, known)}`);
    } else if (chosen.indexOf(name) !== chosen.lastIndexOf(name)) problems.push(`--rules: "${name}" stands there twice`);
  }
  if (problems.length === 0 && chosen.length < 2) {
    const only =
      wanted === undefined ? `the study has one rule, ${chosen[0]}` : `read ${chosen.length === 0 ? 'none' : `"${chosen[0]}" alone`}`;
    problems.push(`a comparison needs two rules or more: ${only}`);
  }
  if (problems.length > 0) throw new UserError(problems);
  return chosen;
}

/**
 * Flies and compares.
 * @throws UserError when rules or inputs named do not fit the study, the folder cannot take results, or the disk fails
 */
export async function compareRules(given: OpenedStudy, options: CompareOptions = {}): Promise<Compared> {
  checkMargin(options);
  refuseInParts(options, '--until-resolved', options.untilResolved ?? false, IN_PLACE_OF_PARTS.plan);
  const rules = rivals(given.study, options.rules);
  const inputs = checkAcross(given.study, options.across ?? []);
  const asked = given.study.flights;
  if (options.retune) retuneBudget(asked);
  return keeping(options, { command: 'compare', studies: [given] }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      session.announce(asked * rules.length);
      const retuned = options.retune ? await retune(session, given, rules, asked, LEVEL) : null;
      const opened = retuned?.opened ?? given;
      const overrides = [...(options.overrides ?? []), ...(retuned?.overrides ?? [])];
      const toFile = keeper.flightsFile(opened, rules, overrides);
      const found = await contest(session, {
        rivals: rules.map((rule, i) => ({ name: rule, study: opened.study, rule, retuned: retuned?.shifts[i] ?? null })),
        pairs: everyTwo(rules.length),
        flights: asked,
        inputs,
        untilResolved: options.untilResolved ?? false,
        margin: options.margin ?? null,
        toFile: (batch, i) => toFile(batch, rules[i]),
      });
      const comparison: Comparison = { ...studyFacts(opened, overrides), designs: null, ...found, lost: session.lost };
      const run = session.facts();
      return {
        comparison,
        run,
        folder: keeper.finish(await comparisonFiles(comparison), opened.text, run, found.stoppedBy !== 'interrupted'),
      };
    }),
  );
}

/** @throws UserError for a margin that nothing stops by */
export function checkMargin({ margin, untilResolved }: Pick<CompareOptions, 'margin' | 'untilResolved'>): void {
  if (margin !== undefined && !untilResolved) throw new UserError('--margin: only --until-resolved stops by it; give both or neither');
}

export async function comparisonFiles(comparison: Comparison): Promise<AnswerFiles> {
  const { across: shown, title, studyHash, seed, design } = comparison;
  if (shown.length === 0) return { 'comparison.json': comparison };
  return {
    'comparison.json': comparison,
    'across.arrow': await answerTable('across', acrossTable(shown), { title, studyHash, seed, design }),
  };
}
