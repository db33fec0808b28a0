/** What fixes buy, as text for a terminal. Computes nothing. */
import type { CampaignGains } from '../analysis/rank/campaignGains.ts';
import type { Gain } from '../analysis/rank/fixGain.ts';
import type { FixRanking, FixRow } from '../analysis/rank/ranking.ts';
import type { SuccessPart } from '../analysis/rank/trends.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../inputs/catalogue.ts';
import { bandRange } from '../report/findings.ts';
import { staleWords } from '../report/heightWords.ts';
import { placeText, rankingOpening } from '../report/rankAdvice.ts';
import { pText } from '../report/verdict.ts';
import { count, percent, percentInterval, withInterval } from '../report/words.ts';
import { FLY_RETUNED } from './options.ts';
import { BAR, cautionLines, FEW, listed, PLACES } from './rankText.ts';
import { bar, heading, table } from './terminal.ts';

export function fixRankingText(r: FixRanking): string {
  const lines = [
    rankingOpening(r),
    '',
    `${r.title}: ${count(r.flights)} flights with each fix, the same luck every time, by rule ${r.rule}, seed ${r.seed}`,
  ];
  const { odds } = r;
  if (odds !== null && odds.share !== null && odds.interval !== null) {
    lines.push(
      '',
      heading(`Landing success as it is  ${percent(odds.share, odds.interval)}   95 % interval ${percentInterval(odds.interval)}`),
      `  ${count(odds.landed)} of ${count(odds.counted)} flights with a result landed; ${count(odds.noResult)} without a result`,
    );
  }
  const remedy = r.retuned !== null ? 'gains retuned are free of that' : r.asked.length > 0 ? 'judge the fixes with --retune' : FLY_RETUNED;
  const stale = staleWords(`rule ${r.rule}`, r.heightMiss, remedy);
  if (stale.length > 0) lines.push('', ...stale);
  if (r.asked.length > 0) lines.push('', askedText(r));
  if (r.groups.length > 0) lines.push('', heading('Which fix first: points of success gained'), fixTable(r.groups, false), PLACES);
  if (r.inputs.length > 0) {
    const which = r.leaders.length === 0 ? 'every input' : `the inputs of ${r.leaders.join(', ')}`;
    lines.push('', heading(`Input by input: ${which}`), fixTable(r.inputs, true), PLACES);
  }
  lines.push(...besideSpread(r));
  if (r.campaign !== null) lines.push('', ...campaignLines(r.campaign));
  lines.push(
    '',
    "  perfect: held at its mean (a lognormal's median, a direction's middle; a chance never happens); halved: half the spread, or half the noise. Rule and constants stay.",
    '  points with 95 % intervals for pairs that hold for the whole column at once; motor pairs: attempts until the first success (1/p), without',
    '  less with the fix; failure: the kind that falls most in points of all flights, where beyond chance over the whole table',
  );
  const without = Math.max(
    0,
    ...[...r.groups, ...r.inputs].map(({ perfect }) => perfect?.noResult ?? 0),
    ...r.asked.map(({ gain }) => gain.noResult),
  );
  if (without > 0) lines.push(`  up to ${count(without)} flights of a row have no result with or without the fix and are left out of it`);
  if (r.unfinished.length > 0) lines.push('', `Interrupted: not flown: ${listed(r.unfinished)}`);
  return [...lines, ...cautionLines(r.cautions)].join('\n');
}

function campaignLines({ attempts, campaigns, share, interval, rows }: CampaignGains): string[] {
  const cells = rows.map((row) => [
    row.name,
    withInterval(100 * row.gain, [100 * row.interval[0], 100 * row.interval[1]]),
    percent(row.share, interval),
  ]);
  return [
    heading(`A first landing by attempt ${count(attempts)} of one vehicle: points gained by each fix`),
    `  as it is: ${percent(share, interval)} (${percentInterval(interval)}) of ${count(campaigns)} campaigns, which keep what the inputs say that \`stays\``,
    ...(rows.length === 0 ? [] : [table(['', 'points', 'landed by then'], cells, [0])]),
    '  on the same luck with and without; 95 % intervals for pairs that hold for the whole column at once',
  ];
}

function askedText({ asked, retuned }: FixRanking): string {
  const cells = (gain: Gain): string[] => [points(gain), gain.p <= 1 ? pText(gain.p) : '', saved(gain), failure(gain)];
  const rows = asked.flatMap(({ name, part, gain, retuned: own }) => {
    const indent = part ? '  ' : '';
    const { beyond } = own ?? { beyond: null };
    // Where both say the same within the noise, the one retuned would only repeat it.
    const apart = beyond !== null && (beyond.interval[0] > 0 || beyond.interval[1] < 0);
    const programmed = [`${indent}${name}${apart ? ', as programmed' : ''}`, ...cells(gain)];
    return own === null || !apart ? [programmed] : [programmed, [`${indent}${name}, retuned`, ...cells(own.gain)]];
  });
  const lines = [heading('What these fixes buy'), table(['', 'points', 'p', 'motor pairs saved', 'failure'], rows, [0, 4])];
  if (retuned !== null) {
    lines.push(
      '  with and without each fix also retuned; shown where the two gains differ by more than noise (95 % interval). Height shifts:',
    );
    for (const { name, retuned: own } of [{ name: 'as it is', retuned: { shift: retuned } }, ...asked]) {
      if (own !== null) lines.push(`  ${name}: ${withInterval(own.shift.shift, own.shift.interval)} m`);
    }
  }
  return lines.join('\n');
}

function fixTable(rows: readonly FixRow[], directions: boolean): string {
  const longest = Math.max(...rows.map(({ perfect }) => perfect?.gain ?? 0));
  const cells = rows.map(({ name, place, perfect, half, direction, leftFree }) => [
    placeText(place),
    leftFree.length === 0 ? name : `${name} (${leftFree.join(', ')} left)`,
    perfect === null ? '' : points(perfect),
    longest > 0 ? bar((perfect?.gain ?? 0) / longest, BAR) : '',
    half === null ? '' : points(half),
    perfect === null ? '' : saved(perfect),
    ...(directions ? [direction ?? ''] : []),
    perfect === null ? '' : failure(perfect),
  ]);
  const heads = ['place', '', 'if perfect', '', 'if halved', 'motor pairs saved', ...(directions ? ['direction'] : []), 'failure'];
  return table(heads, cells, directions ? [0, 1, 3, 6, 7] : [0, 1, 3, 6]);
}

function points({ gain, interval }: Gain): string {
  if (gain === null || interval === null) return 'no pairs';
  return withInterval(100 * gain, [100 * interval[0], 100 * interval[1]]);
}

function saved({ pairsSaved }: Gain): string {
  return pairsSaved === null ? '' : withInterval(pairsSaved.estimate, pairsSaved.interval);
}

/** "lit too low -4.0 (-5.1 to -2.9)": the failure most reduced, in points. */
function failure({ causes }: Gain): string {
  const [first] = causes;
  if (first === undefined || first.change >= 0) return '';
  return `${first.outcome} ${withInterval(100 * first.change, [100 * first.interval[0], 100 * first.interval[1]])}`;
}

/** Inputs whose size matters though their spread is not shown to, and directions that may be any. */
function besideSpread({ bySize, circles }: FixRanking): string[] {
  const lines = bySize.slice(0, FEW).map(({ key, least, most }) => {
    const less = (least.share ?? 0) > (most.share ?? 0);
    return `  ${less ? 'less' : 'more'} ${key} goes with more landings, steadier is not shown to: ${partText(key, least)} with least of it, ${partText(key, most)} with most`;
  });
  const rest = bySize.length - lines.length;
  if (rest > 0) lines.push(`  and ${rest} more; ranking.json has them`);
  for (const { key, sectors, best, worst } of circles) {
    if (best === null || worst === null)
      lines.push(`  ${key} may be any direction and has no perfect one; success is not shown to differ between directions`);
    else
      lines.push(
        `  ${key} may be any direction and has no perfect one; best ${partText(key, sectors[best])}, worst ${partText(key, sectors[worst])}`,
      );
  }
  if (lines.length === 0) return [];
  return [
    '',
    heading('Size, not spread: landings by how much there is of an input (a fifth of the flights at either end)'),
    ...lines,
    '  as flown: what goes along with an input is in it; 95 % intervals, all of them together',
  ];
}

function partText(key: InputKey, part: SuccessPart): string {
  const { unit } = CATALOGUE[inputIndex(key)];
  const landed =
    part.share === null || part.interval === null
      ? 'no flight'
      : `${percent(part.share, part.interval)} (${percentInterval(part.interval)})`;
  return `${landed} at ${bandRange(part, unit)}`;
}
