/** The map about an optimum as one flat table, a row a point. Computes nothing. */
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { FreeConstant } from '../drops/heightCoordinates.ts';
import type { MapPoint, TuningMap } from './tuningMap.ts';

export function tuningTable(map: TuningMap, free: readonly FreeConstant[]): AnswerColumn[] {
  const numbers = (key: string, unit: string, meaning: string, read: (point: MapPoint) => number | null | undefined): AnswerColumn => ({
    key,
    unit,
    meaning,
    values: map.points.map((point) => read(point) ?? null),
  });
  return [
    ...free.map(({ key, unit }) => numbers(key, unit, 'constant of the rule', ({ constants }) => constants[key])),
    ...free.map((_, k) => numbers(`offset${k + 1}`, 'm', OFFSETS[k] ?? OFFSETS[OFFSETS.length - 1], ({ offset }) => offset[k])),
    numbers('flights', '', 'flights flown, the same for all points', (point) => point.flights),
    numbers('counted', '', 'of them with a result', (point) => point.counted),
    numbers('landed', '', 'of them landed', (point) => point.landed),
    numbers('good', '', 'of them good: landed, or touching down softer than the speed aimed at', (point) => point.good),
    numbers('share', '', 'good, of those with a result', (point) => point.share),
    numbers('shareLow', '', '95 % interval of share, low end (exact)', (point) => point.interval?.[0]),
    numbers('shareHigh', '', '95 % interval of share, high end (exact)', (point) => point.interval?.[1]),
    numbers('sink', 'm/s', 'quantile of sink speed aimed at, if one is', (point) => point.sink),
    numbers('adjustedP', '', 'against the best on the same flights, for all points together (Holm)', (point) => point.adjustedP),
    {
      key: 'verdict',
      unit: '',
      meaning: 'best; alike: cannot be told apart from it; worse; better',
      values: map.points.map(({ verdict }) => verdict),
    },
  ];
}

const OFFSETS = [
  'mean lighting height over the drops, from the best',
  'what is left of the lighting height’s slope over the drops, root mean square, from the best',
  'what is left of its curvature, root mean square, from the best',
];
