/** Success across inputs as one flat table: a row for each input, bin and rule. Computes nothing. */
import type { AnswerColumn } from '../../results/answerTable.ts';
import type { Across, AcrossBin, AcrossShare } from './across.ts';

interface Row {
  readonly across: Across;
  readonly place: number;
  readonly bin: AcrossBin;
  readonly rule: AcrossShare;
}

export function acrossTable(all: readonly Across[]): AnswerColumn[] {
  const rows: Row[] = all.flatMap((across) =>
    across.bins.flatMap((bin, i) => bin.rules.map((rule): Row => ({ across, place: i + 1, bin, rule }))),
  );
  const words = (key: string, meaning: string, read: (row: Row) => string): AnswerColumn => ({
    key,
    unit: '',
    meaning,
    values: rows.map(read),
  });
  const numbers = (key: string, meaning: string, read: (row: Row) => number | null | undefined): AnswerColumn => ({
    key,
    unit: '',
    meaning,
    values: rows.map((row) => read(row) ?? null),
  });
  return [
    words('input', 'the input along which success is shown', (r) => r.across.input),
    words('unit', 'unit of low and high', (r) => r.across.unit),
    numbers('bin', 'bin of about equally many flights, from 1, ascending', (r) => r.place),
    numbers('low', 'least value of the input in the bin', (r) => r.bin.low),
    numbers('high', 'greatest value of the input in the bin', (r) => r.bin.high),
    words('rule', 'ignition rule flown', (r) => r.rule.rule),
    numbers('flights', 'flights in the bin', (r) => r.bin.flights),
    numbers('noResult', 'of them without a result', (r) => r.rule.noResult),
    numbers('landed', 'of them landed', (r) => r.rule.landed),
    numbers('share', 'landed, of those with a result', (r) => r.rule.share),
    numbers('shareLow', '95 % interval of share, low end (exact)', (r) => r.rule.interval?.[0]),
    numbers('shareHigh', '95 % interval of share, high end (exact)', (r) => r.rule.interval?.[1]),
    numbers('difference', 'share minus that of the first rule, over flights with a result by both', (r) => r.rule.toFirst?.difference),
    numbers('differenceLow', '95 % interval of difference, low end (paired)', (r) => r.rule.toFirst?.interval[0]),
    numbers('differenceHigh', '95 % interval of difference, high end (paired)', (r) => r.rule.toFirst?.interval[1]),
  ];
}
