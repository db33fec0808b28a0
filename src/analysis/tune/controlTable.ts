/** The lines about the best gains as one flat table, a row a point. Computes nothing. */
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { ControlTuning, GainPoint } from './controlTuning.ts';

export function controlTable({ lines, lineFlights }: Pick<ControlTuning, 'lines' | 'lineFlights'>): AnswerColumn[] {
  const points = lines.flatMap(({ key, points: own }) => own.map((point) => ({ key, ...point })));
  const numbers = (key: string, meaning: string, read: (point: GainPoint) => number | null | undefined): AnswerColumn => ({
    key,
    unit: '',
    meaning,
    values: points.map((point) => read(point) ?? null),
  });
  return [
    { key: 'gain', unit: '', meaning: 'gain that the line runs along', values: points.map(({ key }) => key) },
    numbers('value', 'its value, SI; the others are at their best', ({ value }) => value),
    numbers('flights', 'flights flown, the same for all points', () => lineFlights),
    numbers('counted', 'of them with a result', ({ counted }) => counted),
    numbers('landed', 'of them landed', ({ landed }) => landed),
    numbers('share', 'landed, of those with a result', ({ share }) => share),
    numbers('shareLow', '95 % interval of share, low end (exact)', ({ interval }) => interval?.[0]),
    numbers('shareHigh', '95 % interval of share, high end (exact)', ({ interval }) => interval?.[1]),
    numbers('adjustedP', 'against the best on the same flights, for all points together (Holm)', ({ adjustedP }) => adjustedP),
    {
      key: 'verdict',
      unit: '',
      meaning: 'best; alike: cannot be told apart from it; worse; better',
      values: points.map(({ verdict }) => verdict),
    },
  ];
}
