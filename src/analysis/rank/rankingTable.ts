/** A ranking as one flat table for other tools: a row for each thing ranked and each output. Computes nothing. */
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Place } from '../../statistics/sensitivity/sharedPlaces.ts';
import type { Gain } from './fixGain.ts';
import type { FixRanking, FlownRanking, Ranking, SobolRanking } from './ranking.ts';

/** One measure of one subject. */
interface Row {
  readonly subject: string;
  readonly kind: string;
  readonly output: 'success' | 'sink';
  readonly measure: string;
  readonly value: number | null;
  readonly interval: Interval | null;
  readonly place: Place | null;
}

/** null for a ranking without a row, as after an early interruption. */
export function rankingTable(ranking: Ranking): AnswerColumn[] | null {
  const rows = ranking.kind === 'fixes' ? fixRows(ranking) : ranking.kind === 'flown' ? flownRows(ranking) : sobolRows(ranking);
  if (rows.length === 0) return null;
  const words = (key: string, meaning: string, read: (row: Row) => string): AnswerColumn => ({
    key,
    unit: '',
    meaning,
    values: rows.map(read),
  });
  const numbers = (key: string, meaning: string, read: (row: Row) => number | null | undefined): AnswerColumn => {
    return { key, unit: '', meaning, values: rows.map((row) => read(row) ?? null) };
  };
  return [
    words('subject', 'what is ranked: an input, a group of inputs, or noise in flight', (r) => r.subject),
    words('kind', 'group, input, noise, pair or fix', (r) => r.kind),
    words('output', 'what it acts on: success (landed or not) or sink speed', (r) => r.output),
    words('measure', 'the measure', (r) => r.measure),
    numbers('value', 'its value; gains are differences of success probability', (r) => r.value),
    numbers('low', '95 % interval, low end', (r) => r.interval?.[0]),
    numbers('high', '95 % interval, high end', (r) => r.interval?.[1]),
    numbers('best', 'best place by this measure that the data leave open', (r) => r.place?.best),
    numbers('worst', 'worst place by this measure that the data leave open', (r) => r.place?.worst),
  ];
}

function gainRows(subject: string, kind: string, strength: string, gain: Gain | null, place: Place | null): Row[] {
  if (gain === null) return [];
  const about = { subject, kind, output: 'success' } as const;
  return [
    { ...about, measure: `gain ${strength}`, value: gain.gain, interval: gain.interval, place },
    {
      ...about,
      measure: `motor pairs saved ${strength}`,
      value: gain.pairsSaved?.estimate ?? null,
      interval: gain.pairsSaved?.interval ?? null,
      place: null,
    },
  ];
}

function fixRows({ groups, inputs, asked }: FixRanking): Row[] {
  return [
    ...[...groups, ...inputs].flatMap((row) => [
      ...gainRows(row.name, row.kind, 'perfect', row.perfect, row.place),
      ...gainRows(row.name, row.kind, 'halved', row.half, null),
    ]),
    ...asked.flatMap(({ name, gain }) => gainRows(name, 'fix', 'as asked', gain, null)),
  ];
}

function flownRows({ inputs, groups, halved }: FlownRanking): Row[] {
  const outputs = ['success', 'sink'] as const;
  const ofInputs = inputs.flatMap((input) =>
    outputs.flatMap((output): Row[] => {
      const m = input[output];
      if (m === null) return [];
      const row = (measure: string, measured: { estimate: number; interval: Interval } | null, place: Place | null = null): Row => {
        return {
          subject: input.key,
          kind: 'input',
          output,
          measure,
          value: measured?.estimate ?? null,
          interval: measured?.interval ?? null,
          place,
        };
      };
      return [
        row('first-order share', m.firstOrder, m.place),
        { ...row('delta, at least', null), value: m.delta.atLeast },
        row('rank correlation', m.rankCorrelation),
        row('partial rank correlation', m.partialRankCorrelation),
        ...(output === 'success' ? [row('landed against lost', input.split)] : []),
      ];
    }),
  );
  const ofGroups = outputs.flatMap((output) =>
    (groups[output] ?? []).map(({ name, estimate, interval, place }): Row => {
      return { subject: name, kind: 'group', output, measure: 'first-order share', value: estimate, interval, place };
    }),
  );
  const ofHalved = halved.map((r): Row => {
    const [value, interval] = r.refused === null ? [r.gain, r.interval] : [null, null];
    return { subject: r.name, kind: r.kind, output: 'success', measure: 'gain halved, reweighed', value, interval, place: null };
  });
  return [...ofGroups, ...ofInputs, ...ofHalved];
}

function sobolRows({ looks }: SobolRanking): Row[] {
  const last = looks.at(-1);
  if (last === undefined) return [];
  return (['success', 'sink'] as const).flatMap((output) => {
    const shares = last[output];
    if (shares === null) return [];
    const singles = shares.subjects.flatMap(({ name: subject, kind, first, total, place }): Row[] => [
      { subject, kind, output, measure: 'total share', value: total.estimate, interval: total.interval, place },
      { subject, kind, output, measure: 'first-order share', value: first.estimate, interval: first.interval, place: null },
    ]);
    const pairs = (shares.pairs ?? []).map(({ a, b, estimate, interval }): Row => {
      return { subject: `${a} with ${b}`, kind: 'pair', output, measure: 'second-order share', value: estimate, interval, place: null };
    });
    return [...singles, ...pairs];
  });
}
