/** The page: one self-contained HTML text from whatever results hold. Reads and writes no file but its own script. */

import type { Comparison } from '../analysis/compare/comparison.ts';
import type { ResultsRead } from '../analysis/read/readResults.ts';
import { CAUTIONS } from './cautions.ts';
import { EVEN_DESIGN } from './designWords.ts';
import { documentHead } from './documentHead.ts';
import { makeDrawing } from './drawing.ts';
import { countsSentence, flightCount, sentence } from './findings.ts';
import { flownSections } from './flownSections.ts';
import { retunedWords, staleWords } from './heightWords.ts';
import { escaped, htmlTable, paragraphs, scriptCode, scriptJson } from './markup.ts';
import { compareOpening, flyOpening } from './openings.ts';
import { pageScript } from './pageScript.ts';
import { campaignSection } from './pictures/campaign.ts';
import { comparisonSection, ruleRows } from './pictures/comparison.ts';
import { controlSection } from './pictures/control.ts';
import { dropsSection } from './pictures/drops.ts';
import { rankingSection } from './pictures/ranking.ts';
import { staircaseSection } from './pictures/staircase.ts';
import { sweepSection } from './pictures/sweep.ts';
import { tuningSection } from './pictures/tuning.ts';
import { count, duration } from './words.ts';

export interface PageOptions {
  /** Say how long the run took and on what: makes two machines' pages differ. */
  readonly timing?: boolean;
}

export async function page(results: ResultsRead, options: PageOptions = {}): Promise<string> {
  const drawing = await makeDrawing();
  const { study, flown, found } = results;
  const { comparison, rankings, drops, tunings, sweeps, staircase, control, campaigns } = found;
  const answers = [
    ...rankings.map((ranking) => rankingSection(drawing, ranking)),
    ...(staircase === null ? [] : [staircaseSection(drawing, staircase)]),
    ...(drops === null ? [] : [dropsSection(drawing, drops)]),
    ...sweeps.map((sweep, i) => sweepSection(drawing, sweep, i + 1)),
    ...campaigns.map((campaign, i) => campaignSection(drawing, campaign, i + 1)),
    ...(control === null ? [] : [controlSection(drawing, control)]),
    ...tunings.map((tuning, i) => tuningSection(drawing, tuning, i + 1)),
  ];
  const made = flown === null ? null : flownSections(drawing, results, flown, comparison !== null);
  const sections = [
    ...(comparison === null ? [] : [comparisonTable(comparison), comparisonSection(drawing, comparison)]),
    ...(made === null ? [] : made.ends),
    ...answers,
    ...(made === null ? [] : made.details),
  ];
  const data = made?.data ?? null;
  sections.push(runSection(results, options.timing ?? false));
  return `${documentHead(`${study.title}: simulated flights`, { scripts: true })}<body>
<header>
<h1>${escaped(study.title)}</h1>
${headline(results)}
<div class="cautions" role="note" aria-label="Cautions">${paragraphs(CAUTIONS)}</div>
</header>
<main>
${sections.filter((s) => s !== '').join('\n')}
</main>
<footer class="note">${paragraphs(CAUTIONS)}</footer>
${data === null ? '' : `<script type="application/json" id="page-data">${scriptJson(data)}</script>\n`}<script type="module">${scriptCode(pageScript())}</script>
</body>
</html>
`;
}

function headline({ flown, study, height }: ResultsRead): string {
  if (flown === null) return `<p class="answer">${escaped(`Answers about ${study.title}, without its flights`)}</p>`;
  const { odds } = flown.answers;
  const asked = flown.header.flightsAsked;
  const fewer = odds.flights < asked ? ` ${count(asked)} were asked for: the run was stopped, or its interval was narrow enough.` : '';
  return `<p class="answer">${escaped(flyOpening(flown.answers, height?.heightMiss ?? null))}</p>
<p>${escaped(`Rule ${flown.rule}. ${countsSentence(odds)}${fewer}`)}</p>
${flown.reasons.length === 0 ? '' : `<p>${escaped(`Without a result: ${flown.reasons.map(({ reason, count: n }) => `${reason} (${count(n)})`).join(', ')}.`)}</p>`}
${paragraphs(heightLines(height))}
<p class="note">The interval is Clopper and Pearson’s and covers the luck of the draw alone; how far the model itself is from the real vehicle it cannot say.${study.design === 'independent' ? '' : ` ${escaped(sentence(EVEN_DESIGN))}.`}</p>
${flown.header.overrides.length > 0 ? `<p class="note">Flown with ${flown.header.overrides.map((o) => `<code>${escaped(o)}</code>`).join(', ')} over the study’s own values.</p>` : ''}`;
}

/** How the rule was retuned, and that its constants look stale; nothing where neither is to be said. */
function heightLines(height: ResultsRead['height']): string[] {
  if (height === null) return [];
  const { rule, retuned, heightMiss } = height;
  const remedy = retuned === null ? 'fly with --retune' : 'retuning left that';
  const lines = [...(retuned === null ? [] : [retunedWords(retuned).join('; ')]), ...staleWords(`rule ${rule}`, heightMiss, remedy)];
  return lines.map((line) => `${sentence(line)}.`);
}

function comparisonTable(c: Comparison): string {
  return `<section>${paragraphs([compareOpening(c)])}${htmlTable(
    `${c.designs === null ? 'Rules' : 'Designs'} on the same luck, ${flightCount(c.flights)} each; 95 % intervals`,
    [
      { head: c.designs === null ? 'rule' : 'design' },
      { head: 'landed' },
      { head: 'of flights' },
      { head: 'no result' },
      { head: 'median sink, m/s' },
      { head: '95 % sink, m/s' },
    ],
    ruleRows(c),
    'Rules on the same luck',
  )}</section>`;
}

function runSection(results: ResultsRead, timing: boolean): string {
  const { study, flown, run } = results;
  const design = { independent: 'independent draws', latinHypercube: 'Latin hypercube', sobol: 'scrambled Sobol’ points' }[study.design];
  const rows = [
    ['program', `alight ${results.version}`],
    ['study', study.title],
    ['study’s hash', results.studyHash],
    ['seed', study.seed],
    ['design', design],
    ...(flown === null
      ? []
      : [
          ['flights asked for, each rule', count(flown.header.flightsAsked)],
          ['flights shown here', count(flown.answers.odds.flights)],
          ['of these without a result', count(flown.answers.odds.noResult)],
          ['rules in the file', flown.header.rules.join(', ')],
        ]),
    ['values replaced', results.overrides.length === 0 ? 'none' : results.overrides.join(', ')],
    ...(timing && run !== null ? [['time', `${duration(run.seconds)} on ${run.threads} threads, Node ${run.node}`]] : []),
  ];
  const warnings = results.warnings.length === 0 ? '' : `<h3>Warnings about the study</h3>${paragraphs(results.warnings)}`;
  return `<section><h2>The run</h2><details class="fold more" open><summary>Study, seed and counts</summary>
${htmlTable(null, [{ head: '' }, { head: '', align: 'left' }], rows, 'The run')}</details>${warnings}</section>`;
}
