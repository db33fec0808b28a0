/**
 * `alight measure values`: a list of measured numbers turned into how an input of the study varies. Prints nothing.
 */
import { UserError } from '../../errors.ts';
import { CATALOGUE, type InputKey, type InputRow, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import { type Distribution, quantile as quantileOf } from '../../inputs/distributions.ts';
import { suggestion } from '../../maths/nearest.ts';
import type { ColumnMap, WantedColumn } from '../../recordings/columnMap.ts';
import { numbersOf, type Recording, readRecording } from '../../recordings/recording.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { meanInterval, normalSample, sdInterval } from '../../statistics/samples/normalSample.ts';
import { quantile, sorted } from '../../statistics/samples/quantiles.ts';
import { quartiles, silvermanBandwidth } from '../../study/silverman.ts';
import { chosenFit, FEWEST_FOR_SHAPE, fitsOf, MANY, REDRAWN } from './fits.ts';
import { type Estimate, LEVEL, measurementFacts, type Outlier, type ValuesMeasurement } from './measurement.ts';
import { CENTRAL, predictive } from './predictive.ts';
import { valuesBlock, valuesFinding, valuesHow } from './valuesWords.ts';

export interface MeasureValuesOptions {
  /** Title of the column, or its place as `#2`. */
  readonly column: string;
  /** Of the numbers in it; null: as the head says. */
  readonly unit: string | null;
  /** Key of the input that the numbers are of. */
  readonly input: string;
  /** Take each value over their mean. */
  readonly relative: boolean;
}

/** Modified z-score beyond which a value is named. Source: B. Iglewicz and D. C. Hoaglin, How to Detect and Handle Outliers, ASQC 1993. */
const FAR = 3.5;
const MAD_TO_SD = 0.6745;
/** Values that are smoothed between, at least. */
const FEWEST_TO_SMOOTH = 10;

/** @throws UserError with every problem */
export async function measureValues(file: string, options: MeasureValuesOptions): Promise<ValuesMeasurement> {
  const row = inputRow(options.input);
  if (options.relative && row.nominal !== 1) {
    throw new UserError(
      `--relative: ${row.key} is no factor; expected one whose nominal value is 1, such as landing.impulseFactor. Leave it out.`,
    );
  }
  const { wanted, map } = columnOf(options, row);
  const recording = await readRecording(file, [wanted], map);
  const read = [...numbersOf(recording, 'value')];
  if (row.type === 'yesNo') return yesNo(file, recording, read, row);
  const middle = read.reduce((a, b) => a + b, 0) / read.length;
  const values = options.relative ? read.map((v) => v / middle) : read;
  checkBounds(recording, values, row);
  return answer(file, recording, values, row);
}

function inputRow(key: string): InputRow & { readonly key: InputKey } {
  if (isInputKey(key)) return CATALOGUE[inputIndex(key)];
  throw new UserError(
    `--for: read ${JSON.stringify(key)}; expected the key of an input. alight inputs lists them.${suggestion(
      key,
      CATALOGUE.map((row) => row.key),
    )}`,
  );
}

function columnOf(
  { column, unit, relative }: MeasureValuesOptions,
  row: InputRow,
): { readonly wanted: WantedColumn; readonly map: ColumnMap } {
  const plain = relative || row.type === 'yesNo';
  const wanted: WantedColumn = {
    name: 'value',
    unit: plain ? '' : row.unit,
    titles: [],
    asked: { unit: `--unit "${row.unit}"`, place: '--column "#' },
  };
  const place = /^#(\d+)$/.exec(column);
  const mapped = {
    title: place === null ? column : null,
    place: place === null ? null : Number(place[1]),
    unit: plain ? '' : unit,
    sign: 1,
  } as const;
  return { wanted, map: new Map([['value', mapped]]) };
}

function checkBounds({ shown, lines }: Recording, values: readonly number[], row: InputRow): void {
  const beyond = values.flatMap((v, i) =>
    v < row.low || v > row.high
      ? [
          `${shown}:${lines[i]}:1: read ${plain(v)} ${row.unit}; expected ${row.key} from ${plain(row.low)} to ${plain(row.high)} ${row.unit}. Mend it, or give another unit or input.`,
        ]
      : [],
  );
  if (beyond.length === 0) return;
  const most = 20;
  throw new UserError([
    ...beyond.slice(0, most),
    ...(beyond.length > most ? [`${shown}: read ${beyond.length - most} more values out of bounds.`] : []),
  ]);
}

function answer(file: string, recording: Recording, values: readonly number[], row: InputRow): ValuesMeasurement {
  const ascending = sorted(values);
  const sample = normalSample(values);
  const alike = ascending[0] === ascending[ascending.length - 1];
  if (values.length < 2 || alike) {
    throw new UserError(
      `${recording.shown}:${recording.lines[0]}:1: read ${values.length === 1 ? 'one value' : `${values.length} equal values`}; expected values that differ. A single value goes into the study as it is.`,
    );
  }
  const shaped = row.circle === undefined && values.length >= FEWEST_FOR_SHAPE;
  const fits = shaped ? fitsOf(ascending, ascending.length > MANY ? REDRAWN.many : REDRAWN.few) : [];
  const best = chosenFit(fits);
  const few = row.circle === undefined && !shaped ? predictive(values, row) : null;
  const distribution = best?.distribution ?? few ?? sampleItself(ascending);
  const chosen = best?.kind ?? (few === null ? 'sample' : 'student');
  const between = quantileOf(distribution);
  const found = {
    input: row.key,
    unit: row.unit,
    values: [...ascending],
    mean: { value: sample.mean, interval: meanInterval(sample, LEVEL) },
    sd: sdOf(sample),
    fits,
    chosen,
    distribution,
    next: [between(CENTRAL[0]), between(CENTRAL[1])],
    outliers: row.circle === undefined ? outliersOf(recording, values) : [],
  } as const;
  return finished(file, recording, found);
}

function finished(
  file: string,
  recording: Recording,
  found: Omit<ValuesMeasurement, 'program' | 'files' | 'level' | 'kind' | 'finding' | 'how' | 'warnings' | 'block'>,
): ValuesMeasurement {
  const far = found.outliers.map(
    ({ line, value }) =>
      `${recording.shown}:${line}:1: ${plain(value)} ${found.unit} lies far from the others; it was kept. Look whether it was a slip.`,
  );
  return {
    ...measurementFacts([file]),
    kind: 'values',
    finding: valuesFinding(found),
    how: valuesHow(found),
    warnings: [...recording.warnings, ...far],
    block: valuesBlock(found),
    ...found,
  };
}

function sdOf({ sd, count }: ReturnType<typeof normalSample>): Estimate | null {
  return sd === null ? null : { value: sd, interval: sdInterval(sd, count - 1, LEVEL) };
}

/** Smoothed where there are enough to smooth between. */
function sampleItself(values: Float64Array): Distribution {
  const list = [...values];
  const [low, high] = quartiles(list);
  const bandwidth = list.length < FEWEST_TO_SMOOTH || high === low ? 0 : silvermanBandwidth(list);
  return bandwidth > 0
    ? { kind: 'measured', values: list, as: 'smooth', bandwidth }
    : { kind: 'measured', values: list, as: 'resample', bandwidth: 0 };
}

/** Those far from the median, in median distances. */
function outliersOf({ lines }: Recording, values: readonly number[]): readonly Outlier[] {
  const middle = quantile(sorted(values), 0.5);
  const mad = quantile(sorted(values.map((v) => Math.abs(v - middle))), 0.5);
  if (mad === 0) return [];
  return values.flatMap((value, i) => ((MAD_TO_SD * Math.abs(value - middle)) / mad > FAR ? [{ line: lines[i], value }] : []));
}

/** A chance from ones and zeros. */
function yesNo(file: string, recording: Recording, values: readonly number[], row: InputRow): ValuesMeasurement {
  const wrong = values.findIndex((v) => v !== 0 && v !== 1);
  if (wrong >= 0) {
    throw new UserError(
      `${recording.shown}:${recording.lines[wrong]}:1: read ${plain(values[wrong])}; expected 1 where it happened and 0 where not. Mend the cell.`,
    );
  }
  const n = values.length;
  const k = values.reduce((a, b) => a + b, 0);
  return finished(file, recording, {
    input: row.key,
    unit: '',
    values: [...values].sort((a, b) => a - b),
    mean: { value: k / n, interval: clopperPearson(k, n, LEVEL) },
    sd: null,
    fits: [],
    chosen: 'chance',
    // What the next one is, with Jeffreys' prior: none in few is not never.
    distribution: { kind: 'chance', probability: (k + 0.5) / (n + 1) },
    next: null,
    outliers: [],
  });
}

function plain(x: number): string {
  return String(Number(x.toPrecision(4)));
}
