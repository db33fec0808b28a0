/** What tuning a rule found, as text for a terminal. Computes nothing. */
import type { FreshAnswer, Tuning } from '../analysis/tune/tuning.ts';
import type { MapPoint, TuningMap } from '../analysis/tune/tuningMap.ts';
import { tuningOpening } from '../report/openings.ts';
import { ruleBlock } from '../report/ruleBlock.ts';
import { count, percent, percentInterval, plain, rounded, withInterval } from '../report/words.ts';
import { bar, heading, table } from './terminal.ts';

export function tuningText(t: Tuning): string {
  const aimed = t.aim.kind === 'landed' ? 'the most landings' : `the smallest ${100 * t.aim.quantile} % quantile of sink speed`;
  return [
    tuningOpening(t),
    '',
    `${t.title}: constants of rule ${t.rule} for ${aimed}, seed ${t.seed}`,
    '',
    ...(t.finished ? [] : unfinishedLines(t)),
    ...constantLines(t),
    ...(t.fresh === null ? [] : ['', ...freshLines(t, t.fresh)]),
    ...(t.map === null ? [] : ['', ...mapLines(t, t.map)]),
    ...noteLines(t),
    '',
    heading('For the study file'),
    ...ruleBlock([t.best])
      .trimEnd()
      .split('\n')
      .map((line) => `  ${line}`),
  ].join('\n');
}

function unfinishedLines(t: Tuning): string[] {
  return [
    `${heading('Unfinished')}: interrupted after ${count(t.flown)} of ${count(t.budget)} flights, ${t.rounds.length} whole rounds of the search. The best so far:`,
    ...(t.fresh === null ? ['  no fresh flights were flown with it: its success probability is not known'] : []),
    '',
  ];
}

function constantLines(t: Tuning): string[] {
  const sources = {
    surface: 'from the surface fitted to the search',
    candidate: 'a candidate of the search, ahead of its fitted surface’s best on flights of their own',
    start:
      t.rounds.length === 0
        ? 'from the drops: no round of the search was whole'
        : 'from the drops: ahead of what the search found, on flights of their own',
    present: 'the study’s own: ahead of what the search found, on flights of their own',
  };
  const number = (value: number): string => String(Number(value.toPrecision(6)));
  const rows = Object.keys(t.best.constants).map((key) => {
    const unit = t.free.find((constant) => constant.key === key)?.unit ?? '';
    const held = t.free.some((constant) => constant.key === key) ? '' : ' held';
    const flat = t.map?.alike[key];
    const named = `${key}${unit === '' ? '' : `, ${unit}`}${held}`;
    const range = flat === undefined ? '' : `${number(flat.low)} to ${number(flat.high)}`;
    return [named, number(t.best.constants[key]), number(t.present[key]), number(t.start[key]), range];
  });
  return [
    `${heading('Best constants')}, ${sources[t.bestIs]}`,
    table(['', 'best', 'present', 'from drops', 'not shown to be worse'], rows),
    `  lights at ${rounded(t.lightingHeight, 2)} m on average over the drops, as believed and with the lead taken off`,
    ...(t.map !== null && t.free.length > 1 ? ['  the ranges hold where the constants move together as in the map, not one by one'] : []),
  ];
}

function freshLines(t: Tuning, fresh: NonNullable<Tuning['fresh']>): string[] {
  const row = (label: string, answer: FreshAnswer): string[] => {
    const { share, interval, landed, counted, noResult } = answer.odds;
    const sink =
      answer.sink === null ? [] : [answer.sink.value === null ? 'never touched' : withInterval(answer.sink.value, answer.sink.interval)];
    const odds = share === null || interval === null ? ['unknown', ''] : [percent(share, interval), percentInterval(interval)];
    return [label, ...odds, `${count(landed)} of ${count(counted)}`, count(noResult), ...sink];
  };
  const heads = ['', 'landed', '95 % interval', 'flights with a result', 'without'];
  if (t.aim.kind === 'sink') heads.push(`sink speed, ${100 * t.aim.quantile} %, m/s`);
  const { pair } = fresh;
  const what = t.good?.kind === 'sink' ? `touchdowns no harder than ${plain(t.good.most)} m/s` : 'landings';
  const difference =
    pair.difference === null || pair.interval === null
      ? 'no flight has a result by both'
      : `${what}, best minus present: ${percent(pair.difference, pair.interval)} (${percentInterval(pair.interval)}), p ${pair.p < 0.001 ? 'below 0.001' : pair.p.toFixed(3)}`;
  const same = Object.entries(fresh.best.constants).every(([key, value]) => fresh.present.constants[key] === value);
  return [
    heading(`On ${count(fresh.flights)} fresh flights, that no constants were chosen on`),
    table(heads, [row('best', fresh.best), row('present', fresh.present)]),
    ...(same
      ? ['  the best is what the study has']
      : [
          `  ${difference}`,
          `  paired on the same flights: ${count(pair.counts.firstOnly)} good by the best only, ${count(pair.counts.secondOnly)} by the present only`,
        ]),
  ];
}

function mapLines(t: Tuning, map: TuningMap): string[] {
  const what = t.good?.kind === 'sink' ? `Touchdowns no harder than ${plain(t.good.most)} m/s` : 'Landings';
  const better = map.points.some(({ verdict }) => verdict === 'better');
  const told = `= cannot be told from the best (*)${better ? ', + is better' : ''}, unmarked is worse, by ${count(map.flightsEach)} flights each, all points together at ${100 * map.level} %`;
  return [
    heading(`${what} about the best, %`),
    ...(map.axes.length === 1 ? curveLines(t, map) : gridLines(t, map)),
    `  ${told}`,
    ...(better ? ['  a better point than the best found: search again with more --flights, or with --bounds about it'] : []),
    ...(map.reachesRim ? ['  the flat region reaches the rim of this map: it may be wider'] : []),
  ];
}

const MARKS = { best: '*', alike: '=', worse: ' ', better: '+' } as const;
const cell = (point: MapPoint): string => `${point.share === null ? '?' : (100 * point.share).toFixed(0)}${MARKS[point.verdict]}`;

function curveLines(t: Tuning, map: TuningMap): string[] {
  const { key, unit } = t.free[0];
  const rows = map.points.map((point) => [
    rounded(point.constants[key], 3),
    cell(point),
    point.interval === null ? '' : percentInterval(point.interval),
    bar(point.share ?? 0, 30),
  ]);
  return [table([unit === '' ? key : `${key}, ${unit}`, '%', '95 % interval', ''], rows, [3])];
}

/**
 * Rows: the second constant; columns: the mean height at which the rule lights. The first constant follows from both.
 */
function gridLines(t: Tuning, map: TuningMap): string[] {
  const [columns, rows] = map.axes;
  const { key, unit } = t.free[1];
  const flat = (point: MapPoint): boolean => point.offset.slice(2).every((part) => part === 0);
  const body = [...rows].reverse().map((y) => {
    const own = map.points.filter((point) => flat(point) && point.offset[1] === y);
    if (own.length === 0) return [];
    const label = String(Number(own[0].constants[key].toPrecision(4)));
    return [label, ...columns.map((x) => own.filter((point) => point.offset[0] === x).map(cell)[0] ?? '·')];
  });
  const further = t.free.slice(2).map(({ key: name, unit: its }, k) => {
    const line = map.points.filter((point) => point.offset.every((part, i) => part === 0 || i === k + 2));
    const cells = line.map((point) => `${Number(point.constants[name].toPrecision(4))}: ${cell(point)}`).join('  ');
    return `  along ${name}${its === '' ? '' : `, ${its}`}, the rest following so that mean height and slope stay:  ${cells}`;
  });
  return [
    table(
      [unit === '' ? key : `${key}, ${unit}`, ...columns.map((x) => rounded(t.lightingHeight + x, 2))],
      body.filter((cells) => cells.length > 0),
      [0],
    ),
    '  columns: mean height at which the rule lights, m (to first order)',
    ...further,
  ];
}

function noteLines(t: Tuning): string[] {
  const bounds = t.onBounds.map(
    ({ key, at, side, own }) =>
      `  ${key} lies on its ${side === 'low' ? 'lower' : 'upper'} bound ${at}: ${own ? 'the rule allows no more' : 'wider --bounds may do better'}`,
  );
  const settled = t.unsettled
    ? ['  the search had not settled: it was still moving in its last round; more --flights, or --bounds nearer to the best, help']
    : [];
  const median = t.rounds.some((round) => round.fittedTo === 'median sink')
    ? ['  hardly any candidate landed in some rounds; the search followed the median sink speed there']
    : [];
  const notes = [...bounds, ...settled, ...median, ...firedLines(t)];
  return notes.length === 0 ? [] : ['', heading('Mind'), ...notes];
}

function firedLines({ fresh }: Tuning): string[] {
  if (fresh === null) return [];
  return (['best', 'present'] as const).flatMap((which) => {
    const { fired } = fresh[which];
    if (fired === 0) return [`  with the ${which} constants the rule never fires: 0 ignition commands in ${count(fresh.flights)} flights`];
    if (2 * fired >= fresh.flights) return [];
    return [`  with the ${which} constants the rule seldom fires: ${count(fired)} ignition commands in ${count(fresh.flights)} flights`];
  });
}
