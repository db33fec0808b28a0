/**
 * Which design is better? The variants of a study fly the same flight numbers on the same luck, each retuned first
 * unless asked not to, and are compared pair by pair as rules are (compare/contest.ts). Writes no flights: `--variant`
 * opens any of them for `fly` and `trace`. Prints nothing.
 */
import { UserError } from '../../errors.ts';
import { flying, type Session } from '../../fleet/session.ts';
import { type OpenedStudy, openStudy } from '../../study/load.ts';
import { type OpenedVariant, openVariant, replacementWords } from '../../study/openVariant.ts';
import { studyHash } from '../../study/studyHash.ts';
import { BASE } from '../../study/variants.ts';
import { checkAcross } from '../compare/across.ts';
import { type Compared, type CompareOptions, checkMargin, comparisonFiles } from '../compare/compareRules.ts';
import type { Comparison, Design } from '../compare/comparison.ts';
import { contest, everyTwo, type Rival } from '../compare/contest.ts';
import { IN_PLACE_OF_PARTS, keeping, refuseInParts } from '../flights/keptResults.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import { LEVEL } from '../fly/summary.ts';
import { retune, retuneBudget } from '../shift/retune.ts';

export interface CompareVariantsOptions extends Omit<CompareOptions, 'retune'> {
  /** Names of variants, `base` for the study as it is; one alone is compared with the base. */
  readonly variants: readonly string[];
  /** Fly every design with the constants written in it. */
  readonly asProgrammed?: boolean;
  readonly allowOutside?: boolean;
}

/** A variant with a rule that it flies. */
interface Entrant {
  readonly name: string;
  readonly of: OpenedVariant;
  readonly rule: string;
}

/**
 * @param path of the study; `options.overrides` are put into each design before its own replacements
 * @throws UserError when a variant, a rule of one, or an input named does not exist, a study has problems, or the
 * folder cannot take results
 */
export async function compareVariants(path: string, options: CompareVariantsOptions): Promise<Compared> {
  const { overrides = [], allowOutside = false } = options;
  const names = contestants(options.variants);
  const opening = { set: overrides, allowOutside };
  const base = await openStudy(path, opening);
  const opened: OpenedVariant[] = [];
  for (const name of names) opened.push(await openVariant(path, name, opening));
  return compareOpened(base, opened, options);
}

/** The same of studies that are open. @param base the study as it is   @param variants those of `options.variants`, one alone with the base before it */
export async function compareOpened(
  base: OpenedStudy,
  variants: readonly OpenedVariant[],
  options: CompareVariantsOptions,
): Promise<Compared> {
  checkMargin(options);
  refuseInParts(options, '--until-resolved', options.untilResolved ?? false, IN_PLACE_OF_PARTS.plan);
  const { overrides = [] } = options;
  const entrants = entrantsOf(variants, options.rules);
  const inputs = checkAcross(variants[0].opened.study, options.across ?? []);
  const asked = base.study.flights;
  if (!options.asProgrammed) retuneBudget(asked);
  return keeping(
    options,
    { command: 'compare --variants', studies: [base, ...variants.map(({ variant, opened }) => ({ ...opened, variant }))] },
    (keeper) =>
      flying({ ...options, ...keeper.journaled }, async (session) => {
        session.announce(asked * entrants.length);
        const ready = await readied(session, entrants, asked, options.asProgrammed ?? false);
        const found = await contest(session, {
          rivals: ready.map(({ rival }) => rival),
          // Only designs that fly one rule differ by what the variants say.
          pairs: everyTwo(ready.length).filter(([i, k]) => entrants[i].rule === entrants[k].rule),
          flights: asked,
          inputs,
          untilResolved: options.untilResolved ?? false,
          margin: options.margin ?? null,
          toFile: () => undefined,
        });
        const facts = studyFacts({ ...base, warnings: warningsOf(base, variants) }, overrides);
        const designs = entrants.map(({ name, of, rule }, i): Design => {
          const { variant } = of;
          const hash = studyHash(ready[i].opened.text);
          return { name, variant: variant.name, rule, from: variant.from, replacements: replacementWords(variant), studyHash: hash };
        });
        const comparison: Comparison = { ...facts, designs, ...found, lost: session.lost };
        const run = session.facts();
        return {
          comparison,
          run,
          folder: keeper.finish(await comparisonFiles(comparison), base.text, run, found.stoppedBy !== 'interrupted'),
        };
      }),
  );
}

/** @throws UserError for a name twice, or the base alone */
function contestants(wanted: readonly string[]): readonly string[] {
  const twice = wanted.filter((name, i) => wanted.indexOf(name) !== i);
  if (twice.length > 0) throw new UserError([...new Set(twice)].map((name) => `--variants: "${name}" stands there twice`));
  if (wanted.length === 0 || (wanted.length === 1 && wanted[0] === BASE)) {
    throw new UserError(`--variants: read ${wanted.length === 0 ? 'none' : `"${BASE}" alone`}; a comparison needs a variant of the study`);
  }
  return wanted.length === 1 ? [BASE, ...wanted] : wanted;
}

/** @throws UserError for a rule that some variant does not have */
function entrantsOf(opened: readonly OpenedVariant[], wanted: readonly string[] | undefined): readonly Entrant[] {
  const rules = wanted ?? [opened[0].opened.study.rules[0].name];
  const problems = rules.flatMap((rule) =>
    opened.flatMap(({ variant, opened: { study } }) => {
      const known = study.rules.map(({ name }) => name);
      return known.includes(rule) ? [] : [`--rules: ${variant.name} has no rule "${rule}"; it has ${known.join(', ')}`];
    }),
  );
  if (problems.length > 0) throw new UserError(problems);
  return rules.flatMap((rule) =>
    opened.map((of): Entrant => ({ name: rules.length === 1 ? of.variant.name : `${of.variant.name}, ${rule}`, of, rule })),
  );
}

/** Each with constants of its own; interrupted, as they are written. */
async function readied(
  session: Session,
  entrants: readonly Entrant[],
  asked: number,
  asProgrammed: boolean,
): Promise<readonly { readonly rival: Rival; readonly opened: OpenedStudy }[]> {
  const ready: { rival: Rival; opened: OpenedStudy }[] = [];
  for (const { name, of, rule } of entrants) {
    const retuned = asProgrammed ? null : await retune(session, of.opened, [rule], asked, LEVEL);
    const opened = retuned?.opened ?? of.opened;
    ready.push({ opened, rival: { name, study: opened.study, rule, retuned: retuned?.shifts[0] ?? null } });
  }
  return ready;
}

/** The study's own, then those that only a variant gives rise to. */
function warningsOf(base: OpenedStudy, opened: readonly OpenedVariant[]): readonly string[] {
  const more = opened.flatMap(({ variant, opened: { warnings } }) =>
    warnings.filter((line) => !base.warnings.includes(line)).map((line) => `variant ${variant.name}: ${line}`),
  );
  return [...base.warnings, ...more];
}
