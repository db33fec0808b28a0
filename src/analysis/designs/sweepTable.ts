/** A sweep as one flat table, a row a point. Computes nothing. */
import { OUTCOMES } from '../../flight/outputs.ts';
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { Sweep, SweepPoint } from './sweep.ts';

export function sweepTable({ axes, points }: Sweep): AnswerColumn[] {
  const numbers = (key: string, unit: string, meaning: string, of: (point: SweepPoint) => number | null | undefined): AnswerColumn => {
    return { key, unit, meaning, values: points.map((point) => of(point) ?? null) };
  };
  const words = (key: string, meaning: string, of: (point: SweepPoint) => string): AnswerColumn => {
    return { key, unit: '', meaning, values: points.map(of) };
  };
  const sink = (share: number) => (point: SweepPoint) => point.sink.find((found) => found.share === share);
  return [
    ...axes.map(({ path }, a) => words(`value${a + 1}`, `${path}, as written`, ({ values }) => values[a])),
    ...axes.flatMap(({ path, unit, values }, a) =>
      values.some(({ number }) => number === null)
        ? []
        : [numbers(`number${a + 1}`, unit, path, (point) => values.find(({ text }) => text === point.values[a])?.number)],
    ),
    numbers('flights', '', 'flights flown, the same numbers for all points', ({ odds }) => odds.flights),
    numbers('counted', '', 'of them with a result', ({ odds }) => odds.counted),
    numbers('landed', '', 'of them landed', ({ odds }) => odds.landed),
    numbers('share', '', 'landed, of those with a result', ({ odds }) => odds.share),
    numbers('bandLow', '', 'share, low end for all points together (exact, Bonferroni)', ({ band }) => band?.[0]),
    numbers('bandHigh', '', 'share, high end for all points together (exact, Bonferroni)', ({ band }) => band?.[1]),
    numbers('toBest', '', 'share minus that of the best point (paired)', ({ toBest }) => toBest?.difference),
    numbers('toBestLow', '', '95 % interval of toBest, low end, for this pair alone', ({ toBest }) => toBest?.interval[0]),
    numbers('toBestHigh', '', '95 % interval of toBest, high end, for this pair alone', ({ toBest }) => toBest?.interval[1]),
    words('verdict', 'best; alike: cannot be told from it; worse: some other point is shown to land more often', ({ verdict }) => verdict),
    ...OUTCOMES.map((outcome, o) => numbers(`outcome ${outcome}`, '', 'flights that ended so', ({ outcomes }) => outcomes[o])),
    ...[0.05, 0.5, 0.95].map((share) =>
      numbers(
        `sink${100 * share}`,
        'm/s',
        `${100 * share} % quantile of the sink speed at touchdown`,
        (point) => sink(share)(point)?.value,
      ),
    ),
    numbers('shift', 'm', 'height shift that the rule was retuned by', ({ retuned }) => retuned?.shift),
    numbers('shiftLow', 'm', '95 % interval of the best shift, low end', ({ retuned }) => retuned?.interval[0]),
    numbers('shiftHigh', 'm', '95 % interval of the best shift, high end', ({ retuned }) => retuned?.interval[1]),
    numbers('ascentImpulse', 'N s', 'nominal impulse of the ascent motor', ({ impulse }) => impulse.ascent),
    numbers('landingImpulse', 'N s', 'nominal impulse of the landing motor', ({ impulse }) => impulse.landing),
    numbers('fallEnergy', 'J', 'nominal falling mass times gravity times the median apogee', ({ fallEnergy }) => fallEnergy?.value),
  ];
}
