/** The page's sections on comparing, dropping and tuning, from answers made up. */
import { describe, expect, test } from 'vitest';
import { across } from '../../../src/analysis/compare/across.ts';
import type { Comparison } from '../../../src/analysis/compare/comparison.ts';
import { pairOff, realAttempts } from '../../../src/analysis/compare/rulePair.ts';
import type { Drop } from '../../../src/analysis/drops/drop.ts';
import type { DropRules } from '../../../src/analysis/drops/dropRules.ts';
import type { Tuning } from '../../../src/analysis/tune/tuning.ts';
import type { MapPoint } from '../../../src/analysis/tune/tuningMap.ts';
import { comparisonSection } from '../../../src/report/pictures/comparison.ts';
import { dropsSection } from '../../../src/report/pictures/drops.ts';
import { tuningSection } from '../../../src/report/pictures/tuning.ts';
import { drawing, facts, flights, found, oddsOf, study } from './madeUp.ts';
import { expectKept } from './readable.ts';

const [fixedHeight, apogeeLine] = study.rules;

/** The same flights by a second rule that lands a third of those the first one loses. */
const other = flights.outcome.map((outcome, i) => (outcome > 1 && i % 9 === 0 ? 1 : outcome));
const rules = [
  { rule: fixedHeight.name, outcome: flights.outcome },
  { rule: apogeeLine.name, outcome: other },
];
const wind = flights.columns['wind.speed'] ?? new Float64Array();
const { counts, noResult } = pairOff(flights.outcome, other, flights.outcome.length);
const interval = [-0.16, -0.06] as const;
const comparison: Comparison = {
  ...facts,
  designs: null,
  flights: flights.outcome.length,
  stoppedBy: 'limit',
  untilResolved: null,
  rules: rules.map(({ rule }, i) => ({
    rule,
    odds: oddsOf(150 + 30 * i),
    causes: found.causes,
    touchdown: found.touchdown,
    neverFired: i,
    retuned: null,
    heightMiss: null,
  })),
  pairs: [
    {
      first: fixedHeight.name,
      second: apogeeLine.name,
      noResult,
      counts,
      statement: {
        procedure: 'fixed',
        flights: flights.outcome.length,
        counts,
        difference: -0.11,
        interval,
        level: 0.95,
        p: 0.0002,
        adjustedP: 0.0002,
        verdict: 'second',
      },
      attempts: realAttempts({ counts, interval }),
      luck: null,
    },
  ],
  across: [across('wind.speed', wind, rules)],
  lost: [],
  discordant: [],
};

describe('rules side by side', () => {
  const section = comparisonSection(drawing, comparison);
  test('as when last looked at', () => expectKept('comparison', section));

  test('in the colours of no outcome, and in words', () => {
    expect(section).not.toMatch(/var\(--(landed|high|low|slid|tipped)\)/);
    expect(section).toContain('wind speed, m/s');
    expect(section).not.toContain('wind.speed,');
  });
});

const drop = (apogee: number, sink: number): Drop => ({
  impulseFactor: apogee / 45,
  apogee,
  believedApogee: apogee - 3,
  burnHeight: 0.29 * apogee,
  believedBurnHeight: 0.21 * apogee,
  commandHeight: 0.3 * apogee,
  thrustHeight: 0.27 * apogee,
  commandSpeed: 18,
  believedCommandSpeed: 17,
  sink,
  soft: sink < 3,
  outcome: sink < 3 ? 'landed' : 'lit too high',
  end: null,
  fallSpeed: 27,
});
const drops: DropRules = {
  ...facts,
  steps: 5,
  spread: 0.15,
  reached: 0.15,
  lead: 0.11,
  nominal: drop(45, 1),
  drops: [38, 42, 45, 48, 52].map((apogee) => drop(apogee, apogee > 50 ? 3.4 : 1)),
  fits: {
    truth: { coefficients: [0, 0.29], rSquared: 0.9998, largestResidual: 0.02 },
    belief: { coefficients: [0.6, 0.21], rSquared: 0.999, largestResidual: 0.03 },
    speed: null,
  },
  verdict: {
    soft: 4,
    stands: 4,
    lost: [],
    bestSink: 1,
    sinkLimit: 3,
    mass: 1,
    impulse: 59,
    fallMomentum: 27,
    weightImpulse: 45,
    fallEnergy: 360,
    peakThrust: 44,
    weight: 10,
  },
  flown: 1000,
  rules: [fixedHeight],
  left: [{ kind: 'speedCurve', why: 'made up' }],
};

test('drops of the nominal vehicle', () => expectKept('drops', dropsSection(drawing, drops)));

const point = (
  offset: readonly number[],
  constants: Readonly<Record<string, number>>,
  good: number,
  verdict: MapPoint['verdict'],
): MapPoint => ({
  offset,
  constants,
  flights: 100,
  counted: 99,
  good,
  share: good / 99,
  interval: [good / 99 - 0.09, good / 99 + 0.09],
  landed: good,
  sink: null,
  adjustedP: verdict === 'best' ? null : 0.5,
  verdict,
});
const tuning: Tuning = {
  ...facts,
  rule: fixedHeight.name,
  kind: 'fixedHeight',
  aim: { kind: 'landed' },
  budget: 3000,
  flown: 2900,
  finished: true,
  free: [{ key: 'height', unit: 'm', low: 0, high: 500 }],
  present: { height: 7 },
  start: { height: 6 },
  best: { ...fixedHeight, constants: { height: 7.1 } },
  bestIs: 'surface',
  searchSeed: 's',
  rounds: [],
  finalists: [],
  good: { kind: 'landed' },
  fresh: {
    seed: 'f',
    flights: 400,
    best: { constants: { height: 7.1 }, odds: oddsOf(170), fired: 400, sink: null },
    present: { constants: { height: 7 }, odds: oddsOf(160), fired: 400, sink: null },
    pair: {
      counts: { both: 140, firstOnly: 30, secondOnly: 20, neither: 206 },
      noResult: 4,
      difference: 0.025,
      interval: [-0.01, 0.06],
      p: 0.2,
    },
  },
  map: {
    level: 0.95,
    flightsEach: 100,
    axes: [[-1, 0, 1]],
    points: [point([-1], { height: 6.1 }, 20, 'worse'), point([0], { height: 7.1 }, 45, 'best'), point([1], { height: 8.1 }, 40, 'alike')],
    alike: { height: { low: 7.1, high: 8.1 } },
    reachesRim: true,
  },
  lightingHeight: 7.1,
  onBounds: [],
  unsettled: false,
  lost: [],
};

describe('a rule’s constants', () => {
  const section = tuningSection(drawing, tuning, 1);
  test('of one, as when last looked at', () => expectKept('tuning-line', section));

  test('along the height to program, not along how far it is moved', () => {
    expect(section).toContain('believed height to light at, m</text>');
    expect(section).not.toContain('moved by');
  });

  test('with a legend of what there is', () => {
    expect(section).toContain('</svg>worse</li>');
    expect(section).not.toContain('</svg>better</li>');
  });

  test('of two, as when last looked at', async () => {
    const constants = (c0: number): Record<string, number> => ({ c0, c1: 0.2 });
    const grid = [-1, 0, 1].flatMap((y) =>
      [-2, 0, 2].map((x) =>
        point([x, y], constants(x + y), 40 - 5 * Math.abs(x), x === 0 && y === 0 ? 'best' : x === 2 ? 'worse' : 'alike'),
      ),
    );
    const two: Tuning = {
      ...tuning,
      rule: apogeeLine.name,
      kind: 'apogeeLine',
      free: [
        { key: 'c0', unit: 'm', low: -500, high: 500 },
        { key: 'c1', unit: '', low: -5, high: 5 },
      ],
      present: constants(-1),
      best: { ...apogeeLine, constants: constants(0) },
      map: {
        level: 0.95,
        flightsEach: 100,
        axes: [
          [-2, 0, 2],
          [-1, 0, 1],
        ],
        points: grid,
        alike: { c0: { low: -1, high: 1 } },
        reachesRim: false,
      },
    };
    await expectKept('tuning-grid', tuningSection(drawing, two, 2));
  });
});
