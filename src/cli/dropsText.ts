/** Drops and what they say, as text for a terminal. Computes nothing. */

import type { Drop } from '../analysis/drops/drop.ts';
import type { Fit } from '../analysis/drops/dropFits.ts';
import type { DropRules } from '../analysis/drops/dropRules.ts';
import type { LandingVerdict } from '../analysis/drops/landingVerdict.ts';
import { dropsOpening } from '../report/openings.ts';
import { ruleBlock } from '../report/ruleBlock.ts';
import { count, plain, rounded } from '../report/words.ts';
import { scatterPlot } from './scatterPlot.ts';
import { heading, table } from './terminal.ts';

export function dropsText(d: DropRules): string {
  return [
    dropsOpening(d),
    '',
    `${d.title}: ${d.drops.length} drops from ${plain(d.drops[0].apogee)} to ${plain(d.drops[d.drops.length - 1].apogee)} m, each braked at its best moment`,
    ...(d.reached < d.spread
      ? [
          `  within ±${plain(100 * d.reached)} % of the nominal apogee, not ±${plain(100 * d.spread)} %: no ascent impulse that the model takes reaches farther`,
        ]
      : []),
    '',
    heading('Softest touchdown of each drop'),
    table(
      ['apogee, m', 'believed', 'command, m', 'burn height, m', 'believed', 'speed, m/s', 'believed', 'sink, m/s', 'outcome'],
      d.drops.map(row),
      [9],
    ),
    `  burn height: what is left at the command less the way during the lead of ${plain(d.lead)} s. Nominal inputs; no noise, gusts, stalls or sensor`,
    '  rounding; the command timed inside the tick. What is believed is a mean over moments of liftoff within a tick.',
    ...endLines(d.drops),
    '',
    ...verdictLines(d.verdict, d.drops.length),
    ...(d.fits === null ? [] : fitLines(d)),
  ].join('\n');
}

function row(d: Drop): string[] {
  const two = (x: number): string => rounded(x, 2);
  return [d.apogee, d.believedApogee, d.commandHeight, d.burnHeight, d.believedBurnHeight, d.commandSpeed, d.believedCommandSpeed]
    .map(two)
    .concat(`${two(d.sink)}${d.soft ? '' : ' !'}`, d.outcome);
}

function endLines(drops: readonly Drop[]): string[] {
  const endingAt = (end: 'apogee' | 'ground'): number => drops.filter((d) => d.end === end).length;
  return [
    ...(endingAt('apogee') > 0
      ? [`  ${count(endingAt('apogee'))} of them are softest when lit as soon as the descent is recognised: the motor brakes too little`]
      : []),
    ...(endingAt('ground') > 0
      ? [`  ${count(endingAt('ground'))} of them are softest when hardly lit before the ground: braking does not help there`]
      : []),
  ];
}

function verdictLines(v: LandingVerdict, drops: number): string[] {
  const facts = [
    `  landing impulse ${plain(v.impulse)} N s; the fall brings ${plain(v.fallMomentum)} N s to the ground (${plain(v.mass)} kg, ${plain(v.fallEnergy)} J), gravity up to ${plain(v.weightImpulse)} N s more while it burns`,
    `  greatest thrust ${plain(v.peakThrust)} N against a weight of ${plain(v.weight)} N`,
  ];
  const lost = v.lost.map(({ outcome, count: times }) => `${count(times)} ${outcome}`).join(', ');
  const others = lost === '' ? [] : [`  soft, and yet not landed: ${lost}; \`alight check --fly\` says why`];
  if (v.stands === drops) {
    return [
      `${heading('It can land')}: every drop has a command whose whole touchdown keeps the limits (sink ${plain(v.sinkLimit)} m/s)`,
      ...facts,
    ];
  }
  if (v.stands > 0) {
    return [
      `${heading('It can land from some heights')}: ${count(v.stands)} of ${count(drops)} drops stand after their softest touchdown, ${count(v.soft)} are within the sink limit of ${plain(v.sinkLimit)} m/s (! marks the others)`,
      ...others,
      ...facts,
    ];
  }
  if (v.soft > 0) {
    return [
      `${heading('It can stop the fall, but does not land')}: ${count(v.soft)} of ${count(drops)} drops have a command within the sink limit of ${plain(v.sinkLimit)} m/s, and none of them stands`,
      ...others,
      ...facts,
    ];
  }
  return [
    `${heading('It cannot land')}: the softest touchdown of all is ${plain(v.bestSink)} m/s, the limit ${plain(v.sinkLimit)} m/s, wherever it is lit`,
    ...facts,
    `  ${v.impulse < v.fallMomentum ? 'the impulse is below what the fall brings: a bigger landing motor, or a lower flight' : 'the impulse would be enough in one stroke; this curve spends it too slowly, or too much of it'}`,
  ];
}

function fitLines({ drops, fits, rules, left }: DropRules): string[] {
  if (fits === null) return [];
  const line = (label: string, fit: Fit): string[] => [
    label,
    ...[0, 1, 2].map((power) => (fit.coefficients[power] === undefined ? '' : fit.coefficients[power].toPrecision(5))),
    fit.rSquared.toFixed(5),
    rounded(fit.largestResidual, 3),
  ];
  const rows = [line('burn height by apogee, true', fits.truth), line('the same, believed', fits.belief)];
  if (fits.speed !== null) rows.push(line('believed, by believed speed', fits.speed));
  return [
    '',
    heading('Fits: burn height = c0 + c1 x + c2 x^2, m'),
    table(['', 'c0', 'c1', 'c2', 'R^2', 'largest miss, m'], rows),
    '',
    ...scatterPlot(
      [
        { mark: 'o', label: 'true', points: drops.map((d) => [d.apogee, d.burnHeight]) },
        { mark: '+', label: 'believed', points: drops.map((d) => [d.believedApogee, d.believedBurnHeight]) },
      ],
      { x: 'apogee, m', y: 'burn height, m' },
    ),
    '',
    `${heading('For the study file')} (as the flight computer believes; \`alight tune --rule\` finds what lands most often under all that varies)`,
    ...ruleBlock(rules)
      .trimEnd()
      .split('\n')
      .map((text) => `  ${text}`),
    ...left.map(({ kind, why }) => `  no ${kind}: ${why}`),
  ];
}
