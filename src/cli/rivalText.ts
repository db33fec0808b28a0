/** Ways of flying campaigns side by side, as text for a terminal: policies after a miss, and what stays held. Computes nothing. */
import type { Costs } from '../analysis/campaign/costs.ts';
import type { Holds } from '../analysis/campaign/holds.ts';
import type { Policies } from '../analysis/campaign/policies.ts';
import type { Rival } from '../analysis/campaign/rivals.ts';
import { LEVELS } from '../inputs/stays.ts';
import { count, percent, plain } from '../report/words.ts';
import type { CampaignPlan } from '../study/study.ts';
import { heading, table } from './terminal.ts';

/** Attempt by which odds are compared: where differences show, and what most builders fly. */
const SHOWN_BY = 5;

const signed = (x: number): string => `${x < 0 ? '' : '+'}${plain(x)}`;
const ends = ([low, high]: readonly [number, number]): string => `${signed(low)} to ${signed(high)}`;

function rivalRows(rivals: readonly Rival[], costs: boolean): string[][] {
  return rivals.map((rival) => {
    const { name, attempts, saved, landing, gains, costSaved } = rival;
    const by = Math.min(SHOWN_BY, gains.length) - 1;
    const { share, interval } = landing.curve[by];
    const sure = landing.needed.find(({ odds }) => odds === 0.95)?.attempts ?? null;
    return [
      name,
      plain(attempts.value),
      `${signed(saved.value)} (${ends(saved.interval)})`,
      rival.verdict,
      percent(share, interval),
      `${signed(100 * gains[by].difference)} (${ends([100 * gains[by].interval[0], 100 * gains[by].interval[1]])})`,
      sure === null ? `more than ${count(gains.length)}` : count(sure),
      ...(costs ? [costSaved === null ? '' : `${signed(costSaved.value)} (${ends(costSaved.interval)})`] : []),
    ];
  });
}

function rivalTable(first: string, rivals: readonly Rival[], costs: boolean): string {
  const by = Math.min(SHOWN_BY, rivals[0].gains.length);
  const heads = [
    first,
    'attempts',
    'saved (together 95 %)',
    'takes',
    `landed by ${by}`,
    'points more (95 %)',
    'for 95 % odds',
    ...(costs ? ['cost saved'] : []),
  ];
  return table(heads, rivalRows(rivals, costs), [0, 3]);
}

export function policyLines(policies: Policies, { observation, costs }: CampaignPlan): string[] {
  const { finding, rivals, split, constant } = policies;
  return [
    heading('What to change after a miss'),
    `  ${finding}`,
    ...(rivals.length === 0 ? [] : [rivalTable('policy', rivals, costs !== null)]),
    `  attempts: on the mean, up to the first landing; saved: fewer than with the program left as it is, campaign by campaign on the same luck`,
    `  the miss is read off with an error of ${plain(observation.error)} m, from ${plain(observation.aim)} m above the ground; ${constant.key} is moved against it, from ${plain(constant.value)} ${constant.unit}; a touchdown at a good speed changes nothing`,
    ...(split === null ? [] : [splitLine(split)]),
  ];
}

function splitLine({ campaigns, attempts, standing, fresh, ratio }: NonNullable<Policies['split']>): string {
  const from = `${count(attempts)} misses of ${count(campaigns)} campaigns beside`;
  if (standing === null || ratio === null) {
    return `  weighted: by ${from}, misses of one vehicle are no more alike than of several, so it changes nothing`;
  }
  return `  weighted: by ${from}, ${plain(standing)} m of a miss stay with the vehicle and its days and motors, ${plain(fresh)} m are fresh each time: 1/(n + ${plain(ratio)})`;
}

export function holdLines({ finding, held, centreless }: Holds, { costs }: CampaignPlan): string[] {
  const levels = held.map(({ levels: own }) => LEVELS.filter((level) => own.includes(level)).join(', '));
  return [
    heading('What is worth measuring before you fly'),
    `  ${finding}`,
    ...(held.length === 0 ? [] : [rivalTable('held at its centre', held, costs !== null)]),
    ...(held.length === 0 ? [] : [`  stays with: ${held.map(({ name }, i) => `${name}: ${levels[i]}`).join('; ')}`]),
    '  held is the part that stays, as if measured and corrected without error; what is fresh on every flight stays fresh',
    ...(centreless.length === 0 ? [] : [`  not held, a direction all round has no centre: ${centreless.join(', ')}`]),
  ];
}

export function costLines({ currency, mean, rebuilds, needed }: Costs): string[] {
  const money = (x: number): string => `${count(Math.round(x))} ${currency}`;
  return [
    heading('What it costs'),
    `  a campaign costs ${money(mean.value)} on the mean (${count(Math.round(mean.interval[0]))} to ${money(mean.interval[1])}), with ${plain(rebuilds)} rebuilds, up to its first landing or its last attempt`,
    ...needed.map(({ odds, cost, least, most }) => {
      const name = odds === 0.5 ? 'even odds' : `${Math.round(100 * odds)} % odds`;
      if (cost === null) return `  ${name} of a first landing: more than any campaign that landed cost`;
      const range = `${least === null ? 'too few to say' : count(Math.round(least))} to ${most === null ? 'no number' : count(Math.round(most))}`;
      return `  ${name} of a first landing: ${money(cost)} (${range})`;
    }),
  ];
}
