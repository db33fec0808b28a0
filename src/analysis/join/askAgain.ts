/** What a part says was asked, asked again: the studies opened from their text, the command called by its name. */
import { UserError } from '../../errors.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { type CampaignOptions, campaignStudy } from '../campaign/campaignStudy.ts';
import { type CompareOptions, compareRules } from '../compare/compareRules.ts';
import { type CompareVariantsOptions, compareOpened } from '../designs/compareVariants.ts';
import { type SweepOptions, sweepOpened } from '../designs/sweepStudy.ts';
import type { Finished, FlyingOptions } from '../flights/keptResults.ts';
import type { Recipe } from '../flights/runJournal.ts';
import { flyStudy } from '../fly/flyStudy.ts';
import { openedBefore } from '../rank/fixedStudies.ts';
import { rankFixes } from '../rank/rankFixes.ts';
import { type RankSobolOptions, rankSobol } from '../rank/rankSobol.ts';
import { openText } from '../read/readFlights.ts';
import { type TuneOptions, tuneRule } from '../tune/tuneRule.ts';

type Ask = (studies: readonly OpenedStudy[], recipe: Recipe, options: FlyingOptions) => Promise<Finished>;

/** By the names that commands give themselves (flights/runJournal.ts). */
const COMMANDS: Readonly<Record<string, Ask>> = {
  fly: ([study], _, options) => flyStudy(study, options),
  compare: ([study], _, options) => compareRules(study, options as CompareOptions),
  'compare --variants': ([base, ...opened], { studies }, options) => {
    const variants = opened.map((study, i) => {
      const variant = studies[i + 1].variant;
      if (variant === undefined) throw new UserError('damaged: a variant without its name; fly the part again');
      return { variant, opened: study };
    });
    return compareOpened(base, variants, options as CompareVariantsOptions);
  },
  sweep: ([base, ...studies], _, options) => sweepOpened(base, studies, options as SweepOptions),
  campaign: ([study], _, options) => campaignStudy(study, options as CampaignOptions),
  rank: ([study, ...fixed], { studies }, options) => rankFixes(study, { ...options, reopen: openedBefore(fixed, studies.slice(1)) }),
  'rank --sobol': ([study], _, options) => rankSobol(study, options as RankSobolOptions),
  tune: ([study], _, options) => tuneRule(study, options as TuneOptions),
};

/**
 * @param name by which problems of the studies are told   @param options of this run, in place of the part's own
 * @throws UserError when the command is unknown, a study cannot be opened, and as the command
 */
export async function askAgain(recipe: Recipe, name: string, options: FlyingOptions): Promise<Finished> {
  const ask = COMMANDS[recipe.command];
  if (ask === undefined) throw new UserError(`${name}: is of a command ${recipe.command}, which this program does not know`);
  const studies: OpenedStudy[] = [];
  for (const { text, warnings, foretold } of recipe.studies) studies.push({ ...(await openText(text, name)), warnings, foretold });
  const { part, ...asked } = recipe.options;
  return ask(studies, recipe, { ...asked, ...options });
}
