/**
 * The field card's content as headings, lines and tables, in the units people read at the pad. Knows neither HTML nor
 * text layout.
 */

import { policyWords } from '../analysis/campaign/policyFinding.ts';
import type { AfterMiss, DayQuantity, FieldCard, QuantileSpread } from '../analysis/card/fieldCard.ts';
import { goNoGo } from '../analysis/card/goNoGo.ts';
import { LEVEL } from '../analysis/fly/summary.ts';
import type { LegReading } from '../analysis/nominal/legs.ts';
import { ruleKind } from '../avionics/rules/kinds.ts';
import { outcomeMeaning } from '../flight/outcomeMeanings.ts';
import type { Outcome } from '../flight/outputs.ts';
import { CAUTIONS } from './cautions.ts';
import { answerSentence, countsSentence, flightCount, levelOf, sentence } from './findings.ts';
import { count, decimalsFor, percent, percentInterval, plain, rounded, shown, unitWords, withInterval } from './words.ts';

export interface CardTable {
  /** null: the section's heading says what it is. */
  readonly caption: string | null;
  readonly heads: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export interface CardSection {
  readonly heading: string;
  readonly lines: readonly string[];
  readonly table: CardTable | null;
  /** Lines with a box to tick. */
  readonly checks: readonly string[];
  /** Columns of a table to fill in by hand; none when left out. */
  readonly blanks?: readonly string[];
  /** Needs the whole width. */
  readonly wide?: boolean;
}

/** What to look at before flight when flights fail so. Common practice, no source. */
const CHECKS: Readonly<Record<Outcome, readonly string[]>> = {
  'no result': [],
  landed: [],
  'outside the field': ['Rail pointed as planned; wind at the pad within the band chosen'],
  'lost control going up': [
    'Gimbal moves against a push on the nose, both axes, and returns to centre',
    'Rail straight, launch lugs slide freely',
  ],
  flipped: [
    'Centre of mass measured with both motors in, and again with the ascent motor spent',
    'Legs and fins at their stations, nothing loose that the fall could move',
  ],
  'held by the guard': ['Inertial sensor fixed and aligned; attitude reads upright on the rail'],
  'no landing thrust': ['Landing igniter seated, continuity checked', 'Spent ascent casing slides out freely by hand'],
  'lost control coming down': ['Gimbal centred and free over its whole travel', 'Centre of mass measured with both motors in'],
  'lit too high': ['Rule constants read back from the flight computer agree with this card', 'Height zeroed on the rail, vehicle still'],
  'lit too low': ['Rule constants read back from the flight computer agree with this card', 'Height zeroed on the rail, vehicle still'],
  slid: ['Gimbal trim: thrust line along the axis at zero command', 'Wind at the pad within the band chosen'],
  leaned: ['Gimbal trim: thrust line along the axis at zero command', 'Ground level where it is to land'],
  'leg gave way': ['Each leg locks with a click and carries the vehicle’s weight', 'Leg release tried from the flight computer'],
  'tipped over': ['Ground firm and level where it is to land', 'Each leg locks at its full spread'],
};

/** Of the most frequent failures, so many are explained: the card is one sheet. */
const MEANINGS = 3;

/** The answer over all sections, and the verdict under it when a share is wanted. */
export function cardHead(
  card: FieldCard,
  least: number | null,
): { readonly answer: string; readonly verdict: string | null; readonly lines: readonly string[] } {
  const { odds } = card.answers;
  return {
    answer: answerSentence(odds),
    verdict: least === null ? null : verdictSentence(card, least),
    lines: [
      countsSentence(odds),
      ...(odds.flights < card.flightsAsked
        ? [`Made of ${count(odds.flights)} of ${flightCount(card.flightsAsked)} asked for: the flying was ended before.`]
        : []),
      'The interval is Clopper and Pearson’s and covers the luck of the draw alone, not errors of the model.',
    ],
  };
}

/** @param least success probability wanted, in (0, 1); null: nothing is judged */
export function cardSections(card: FieldCard, least: number | null): readonly CardSection[] {
  return [
    expectedSection(card),
    ruleSection(card),
    ...(least === null ? [] : [criterionSection(least)]),
    ...card.day.map((quantity) => daySection(quantity, least)),
    checksSection(card),
    { heading: 'Cautions', lines: CAUTIONS, table: null, checks: [] },
    ...(card.afterMiss === null ? [] : [afterMissSection(card.afterMiss)]),
    logSection(),
  ];
}

/** "No-go: ..."; what the whole draw says, then what its bands add. */
function verdictSentence({ answers, day }: FieldCard, least: number): string {
  const wanted = percent(least, [0, 1]);
  const { interval } = answers.odds;
  const verdict = goNoGo(interval, least);
  const bands = day.filter(({ judged }) => judged).flatMap((quantity) => quantity.bands);
  const good = bands.filter((band) => goNoGo(band.interval, least) === 'go').length;
  const inBands =
    bands.length === 0
      ? ''
      : good === 0
        ? ` No band of ${judgedNames(day, 'or')} is go.`
        : ` ${count(good)} of ${count(bands.length)} bands of ${judgedNames(day, 'and')} are go.`;
  if (interval === null) return `Unclear: no flight has a result, and ${wanted} success is wanted.`;
  const said = {
    go: `Go: the simulation reaches the ${wanted} wanted. That is not permission.`,
    'no-go': `No-go: all of the interval lies under the ${wanted} wanted.`,
    unclear: `Unclear: the ${wanted} wanted lies within the interval; fly more flights.`,
  };
  return `${said[verdict]}${inBands}`;
}

function judgedNames(day: readonly DayQuantity[], joint: 'and' | 'or'): string {
  return day
    .filter(({ judged, bands }) => judged && bands.length > 0)
    .map(({ name }) => name)
    .join(` ${joint} `);
}

function ruleSection({ rule }: FieldCard): CardSection {
  const kind = ruleKind(rule.kind);
  // In SI, as it is programmed: a constant in other units is a way to crash. Six digits are copied by hand; the files
  // have all.
  const rows = [
    ...kind.constants.map(({ key, unit, meaning }) => [key, sixDigits(rule.constants[key]), unitWords(unit), meaning]),
    ['lead', sixDigits(rule.lead), 's', 'how far ahead heights are judged'],
    [
      'tiltGuard',
      sixDigits(rule.tiltGuard),
      'rad',
      `ignition withheld beyond this believed tilt (${plain((rule.tiltGuard * 180) / Math.PI)} deg)`,
    ],
    ['insideTick', rule.insideTick ? 'on' : 'off', '', 'command timed inside the tick'],
  ];
  return {
    heading: `Rule ${rule.name} as programmed`,
    lines: [`${sentence(kind.meaning)}. SI units, to six digits; every bit is in the C header and the JSON.`],
    table: { caption: null, heads: ['', 'value', 'unit', 'meaning'], rows },
    checks: [],
  };
}

/** Enough for any constant to be typed in by hand. */
function sixDigits(value: number): string {
  return String(Number(value.toPrecision(6)));
}

function expectedSection(card: FieldCard): CardSection {
  const row = (name: string, spread: QuantileSpread, unit: string): string[] => [
    `${name}, ${unit}`,
    ...[0.05, 0.5, 0.95].map((share) => {
      const q = spread.quantiles.find((one) => one.share === share);
      return q === undefined ? 'none' : withInterval(q.value, q.interval);
    }),
    count(spread.flights),
  ];
  const { radius } = card.limits;
  return {
    heading: 'What to expect',
    wide: true,
    lines: [
      `Limits of a landing: ${limitWords(card)}${radius === null ? '' : `, within ${plain(radius)} m of the pad`}.`,
      'An apogee outside its band, true or as the computer reports it, means that this was not one of the flights that were simulated: find out why before the next.',
    ],
    table: {
      caption: `Quantiles with their ${levelOf(LEVEL)} distribution-free intervals; ${flightCount(card.answers.odds.noResult)} without a result left out`,
      heads: ['', '5 %', '50 %', '95 %', 'flights'],
      rows: [
        row('apogee, true', card.apogee, 'm'),
        row('apogee, as believed', card.believedApogee, 'm'),
        row('sink speed at touchdown', card.sink, 'm/s'),
        row('landing place from the pad', card.distance, 'm'),
      ],
    },
    checks: [],
  };
}

/** "sink 3 m/s, slide 1.5 m/s, tilt 15 deg"; a simulated touchdown needs none of them. */
function limitWords({ limits }: FieldCard): string {
  const said = [
    ...(limits.sink === null ? [] : [`sink ${plain(limits.sink)} m/s`]),
    ...(limits.slide === null ? [] : [`slide ${plain(limits.slide)} m/s`]),
    ...(limits.tilt === null ? [] : [`tilt ${plain(limits.tilt * shown('rad').factor)} deg`]),
  ];
  return said.length === 0 ? 'what its legs and the ground, as simulated, let stand' : said.join(', ');
}

/** Printed unit and conversion of a day's quantity; people read temperatures in degrees Celsius. */
function printed(unit: string): { readonly unit: string; readonly of: (value: number) => number } {
  return unit === 'K' ? { unit: '°C', of: (value) => value - 273.15 } : { unit, of: (value) => value };
}

function daySection(quantity: DayQuantity, least: number | null): CardSection {
  const to = printed(quantity.unit);
  const heading = sentence(quantity.name);
  const first = quantity.bands[0];
  const last = quantity.bands.at(-1);
  if (first === undefined || last === undefined) {
    const line =
      quantity.fixed === null
        ? 'No flight was flown.'
        : `Flown at ${plain(to.of(quantity.fixed))} ${to.unit} only: nothing is known of other values. No-go elsewhere until flown with a spread.`;
    return { heading, lines: [line], table: null, checks: [] };
  }
  const d = decimalsFor((last.high - first.low) / (4 * quantity.bands.length));
  const text = (value: number): string => rounded(to.of(value), d);
  const flown = `Flown from ${text(first.low)} to ${text(last.high)} ${to.unit}. Outside is no-go: nothing was simulated there.`;
  if (!quantity.judged) {
    const unfelt = `Within it nothing is judged: of ${quantity.name} only the air’s density depends here, while real motors feel it (say how under the motor’s temperature, with no other stated, to have it judged).`;
    return { heading, lines: [`${flown} ${unfelt}`], table: null, checks: [] };
  }
  const rows = quantity.bands.map((band) => [
    `${text(band.low)} to ${text(band.high)}`,
    band.share === null || band.interval === null ? 'unknown' : `${percent(band.share, band.interval)} (${percentInterval(band.interval)})`,
    count(band.counted),
    count(band.noResult),
    ...(least === null ? [] : [goNoGo(band.interval, least)]),
  ]);
  return {
    heading,
    lines: [flown],
    table: {
      caption: `Success by band, ${levelOf(LEVEL)} intervals (Clopper and Pearson), each for its band alone`,
      heads: [`${quantity.name}, ${to.unit}`, 'landed', 'flights', 'no result', ...(least === null ? [] : ['verdict'])],
      rows,
    },
    checks: [],
  };
}

function criterionSection(least: number): CardSection {
  return {
    heading: 'Go and no-go',
    lines: [
      `Go where a band’s whole interval is at or over ${percent(least, [0, 1])}, no-go where it is all under, unclear between; each band taken by itself. Go means only that the simulation reaches the share wanted: it is not permission.`,
    ],
    table: null,
    checks: [],
  };
}

/** What to look at besides where the flights flown had legs and ground of these numbers. */
function legChecks(outcome: Outcome, r: LegReading): readonly string[] {
  const stiffness = `Each leg gives on a kitchen scale as flown here: ${plain(r.stiffness)} N/m, ${plain(1000 * r.sag)} mm under its share of the weight`;
  const friction = `Ground where it is to land grips as flown here: a pull of ${plain(r.friction)} of its weight keeps it sliding`;
  switch (outcome) {
    case 'lit too high':
    case 'lit too low':
      return [stiffness];
    case 'leg gave way':
      return [
        r.strength === null ? stiffness : `Each leg holds ${plain(r.strength)} N at its foot, as flown here, without a crack or play`,
        stiffness,
      ];
    case 'slid':
      return [friction];
    case 'tipped over':
      return [friction, `Dropped by hand it hardly rebounds: damping ${plain(r.dampingRatio)} of critical, as flown here`];
    default:
      return [];
  }
}

function checksSection({ answers, legs }: FieldCard): CardSection {
  const { ranked, counted } = answers.causes;
  const seen = new Set<string>();
  const checks = ranked.flatMap(({ outcome, share, interval }) =>
    [...(legs === null ? [] : legChecks(outcome, legs)), ...CHECKS[outcome]].flatMap((line) => {
      if (seen.has(line)) return [];
      seen.add(line);
      return [`${line} (“${outcome}”: ${percent(share, interval)} of flights)`];
    }),
  );
  const meanings = ranked
    .slice(0, MEANINGS)
    .map(({ outcome }) => `“${sentence(outcome)}”: ${outcomeMeaning(outcome, legs === null ? 'rules' : 'springs').meaning}.`);
  return {
    heading: 'Before flight, by what flights failed of',
    lines:
      counted === 0
        ? ['No flight has a result: no failure is known.']
        : checks.length === 0
          ? ['No failure was seen; that is no reason to skip the usual checks.']
          : ['Besides the usual checks. Most frequent failure first.', ...meanings],
    table: null,
    checks,
  };
}

/** The best policy's gain, in the words of what is to be typed in. */
function afterMissSection({ policy, constant, aim, campaigns }: AfterMiss): CardSection {
  const { key, unit, value } = constant;
  const from = `By ${count(campaigns)} simulated campaigns on the same luck.`;
  const line =
    policy === 'keep'
      ? `Leave ${key} at ${sixDigits(value)} ${unitWords(unit)}: no policy was told to take fewer attempts.`
      : `Attempt after attempt, ${policyWords(policy)}: take that part of the miss seen from ${key}, now ${sixDigits(value)} ${unitWords(unit)}. Seen too high makes it less, too low makes it more.`;
  const how = `The miss: how high above the ground the descent stopped or was slowest, less ${plain(aim)} m. A touchdown at a good speed is no miss and changes nothing.`;
  return { heading: 'After a miss', lines: [line, how, from], table: null, checks: [] };
}

/** What is written down at each attempt: without it nothing can be learned from one. */
function logSection(): CardSection {
  return {
    heading: 'Attempts flown with this card',
    lines: [],
    table: null,
    checks: [],
    blanks: [
      'attempt',
      'date, time',
      'wind, m/s',
      'air, °C',
      'mass, kg',
      'ascent motor, lot',
      'landing motor, lot',
      'apogee, m',
      'result',
      'miss seen, m',
      'change to program',
      'note',
    ],
  };
}

/** Where the card comes from, in one line. */
export function cardOrigin(card: FieldCard): string {
  const replaced = card.overrides.length === 0 ? '' : `, with ${card.overrides.join(', ')}`;
  return `${card.program}, seed ${card.seed}, ${flightCount(card.answers.odds.flights)}, study ${card.studyHash.slice(0, 12)}${replaced}`;
}
