/**
 * How one input varies, as a study gives it, turned into a `Distribution` in SI. Does not draw; that is inputs/.
 */

import type { InputRow } from '../inputs/catalogue.ts';
import type { Distribution } from '../inputs/distributions.ts';
import { shareHeld } from '../inputs/varying.ts';
import { readColumns } from './csv.ts';
import type { FileDistribution } from './distributionField.ts';
import { checkQuantity, display, onOff, type QuantityRules, show } from './fields.ts';
import type { StudyFolder } from './files.ts';
import type { Findings, Path } from './findings.ts';
import { quartiles, silvermanBandwidth } from './silverman.ts';
import { expectedOf, readPercent, readQuantity } from './units.ts';

/** Above this share outside the input's bounds it is a mistake; above the second, a warning. */
const MOST_OUTSIDE = 0.01;
const NOTED_OUTSIDE = 1e-6;

/** Standard deviations over the way between two ends: beyond, nothing is left of the bell, and rounding of what is. */
const WIDEST = 1e6;

interface Context {
  readonly row: InputRow;
  /** undefined while the rest of the study has problems. */
  readonly nominal: number | undefined;
  readonly folder: StudyFolder;
  readonly findings: Findings;
}

/** A problem has been noted; the distribution cannot be told. */
const UNKNOWN = Number.NaN;

class DistributionReader {
  readonly context: Context;
  constructor(context: Context) {
    this.context = context;
  }

  /** One value; NaN after a problem. */
  value(given: unknown, path: Path, unit = this.context.row.unit, rules: QuantityRules = {}): number {
    const read = checkQuantity(given, unit, rules);
    if ('value' in read) return read.value;
    this.context.findings.problem(path, read.text);
    return UNKNOWN;
  }

  /** One value, the nominal when absent. */
  orNominal(given: unknown, path: Path): number {
    return given === undefined ? (this.context.nominal ?? UNKNOWN) : this.value(given, path);
  }

  /** A standard deviation: same unit, or a share of the nominal. */
  spread(given: unknown, path: Path): number {
    const { row, nominal, findings } = this.context;
    const share = row.unit === '' ? undefined : readPercent(given);
    if (share !== undefined) {
      if (nominal === undefined) return UNKNOWN;
      if (nominal === 0) {
        findings.problem(path, `read ${show(given)} of a nominal value of 0; expected ${expectedOf(row.unit)}. Give it as a quantity.`);
        return UNKNOWN;
      }
      if (share >= 0) return share * Math.abs(nominal);
    }
    const reading = readQuantity(given, row.unit, true);
    const rules: QuantityRules = { low: 0, ...(row.unit === 'K' ? { example: '3 K' } : {}) };
    if (typeof given === 'string' && 'problem' in reading && row.unit === 'K') {
      findings.problem(
        path,
        `read ${show(given)} (${reading.problem}); expected a difference of temperatures in K. Write, for example, 3 K.`,
      );
      return UNKNOWN;
    }
    return this.value(given, path, row.unit, rules);
  }

  /** Two ends in order. */
  ends(given: { low?: unknown; high?: unknown }, path: Path): readonly [number, number] {
    const least = this.value(given.low, [...path, 'low']);
    const most = this.value(given.high, [...path, 'high']);
    if (least >= most) {
      this.context.findings.problem(
        [...path, 'high'],
        `read ${show(given.high)} with a low of ${show(given.low)}; expected high above low. Swap or widen them.`,
      );
      return [UNKNOWN, UNKNOWN];
    }
    return [least, most];
  }

  list(given: unknown, path: Path, unit: string, rules: QuantityRules = {}): number[] {
    if (!Array.isArray(given) || given.length === 0) {
      this.context.findings.problem(path, `read ${show(given)}; expected a list of values. Write, for example, [0.98, 1.01].`);
      return [];
    }
    return given.map((item: unknown, i) => this.value(item, [...path, i], unit, rules));
  }
}

/**
 * @param given what {@link distributionField} made of a map
 * @param path of that map in the study
 * @returns undefined when it had problems (said in the findings) or hangs on a nominal value not known yet
 */
export async function readDistribution(given: FileDistribution, path: Path, context: Context): Promise<Distribution | undefined> {
  const { row, findings } = context;
  const before = findings.problems.length;
  const kind = Object.keys(given)[0];
  if ((row.type === 'yesNo') !== (kind === 'chance')) {
    findings.problem(
      path,
      row.type === 'yesNo'
        ? `read ${kind}; expected a chance, for it happens or not. Write, for example, { chance: 1.5 % }.`
        : `read chance; expected a distribution of ${expectedOf(row.unit)}. Write, for example, { uniform: { low: ..., high: ... } }.`,
    );
    return undefined;
  }
  const distribution = await convert(given, path, new DistributionReader(context));
  if (distribution === undefined || findings.problems.length > before) return undefined;
  const numbers = Object.values(distribution).filter((v) => typeof v === 'number');
  if (numbers.some(Number.isNaN)) return undefined;
  checkBounds(distribution, path, context);
  return findings.problems.length > before ? undefined : distribution;
}

async function convert(given: FileDistribution, path: Path, reader: DistributionReader): Promise<Distribution | undefined> {
  const { findings } = reader.context;
  if (given.normal) {
    const place = [...path, 'normal'];
    const mean = reader.orNominal(given.normal.mean, [...place, 'mean']);
    const sd = reader.spread(given.normal.sd, [...place, 'sd']);
    return sd === 0 ? { kind: 'fixed', value: mean } : { kind: 'normal', mean, sd };
  }
  if (given.student) {
    const place = [...path, 'student'];
    const mean = reader.orNominal(given.student.mean, [...place, 'mean']);
    const scale = reader.spread(given.student.scale, [...place, 'scale']);
    const freedom = reader.value(given.student.freedom, [...place, 'freedom'], '', { low: 1, high: 1e6, example: '4' });
    return scale === 0 ? { kind: 'fixed', value: mean } : { kind: 'student', mean, scale, freedom };
  }
  if (given.truncatedNormal) {
    const place = [...path, 'truncatedNormal'];
    const mean = reader.orNominal(given.truncatedNormal.mean, [...place, 'mean']);
    const sd = reader.spread(given.truncatedNormal.sd, [...place, 'sd']);
    const [low, high] = reader.ends(given.truncatedNormal, place);
    if (sd === 0) findings.problem([...place, 'sd'], 'read 0; expected a spread above 0. To hold the input, give it a plain value.');
    if (sd > WIDEST * (high - low)) {
      findings.problem(
        [...place, 'sd'],
        `read ${show(given.truncatedNormal.sd)}, more than a million times the way between the ends; expected a bell curve to be seen between them. Use uniform.`,
      );
    }
    const nearest = Math.min(Math.max(mean, low), high);
    if (sd > 0 && Math.abs(nearest - mean) > 8 * sd) {
      findings.problem(
        [...place, 'low'],
        'read ends more than 8 standard deviations from the mean; expected some of the bell curve between them. Move them.',
      );
    }
    return { kind: 'truncatedNormal', mean, sd, low, high };
  }
  if (given.lognormal) {
    const place = [...path, 'lognormal'];
    const median = reader.orNominal(given.lognormal.median, [...place, 'median']);
    const logSd = reader.value(given.lognormal.logSd, [...place, 'logSd'], '', { low: 0, high: 5, example: '0.25' });
    if (median <= 0)
      findings.problem(
        place,
        `read a median of ${display(median, reader.context.row.unit)}; expected one above 0. Give a median, or use normal.`,
      );
    return logSd === 0 ? { kind: 'fixed', value: median } : { kind: 'lognormal', median, logSd };
  }
  if (given.uniform) {
    const [low, high] = reader.ends(given.uniform, [...path, 'uniform']);
    return { kind: 'uniform', low, high };
  }
  if (given.triangular) {
    const place = [...path, 'triangular'];
    const [low, high] = reader.ends(given.triangular, place);
    const mode = reader.value(given.triangular.mode, [...place, 'mode']);
    if (mode < low || mode > high)
      findings.problem([...place, 'mode'], `read ${show(given.triangular.mode)}; expected a mode from low to high. Move it between them.`);
    return { kind: 'triangular', low, mode, high };
  }
  if (given.beta) {
    const place = [...path, 'beta'];
    const shape: QuantityRules = { above: 0, high: 1e4, example: '2' };
    const alpha = reader.value(given.beta.alpha, [...place, 'alpha'], '', shape);
    const beta = reader.value(given.beta.beta, [...place, 'beta'], '', shape);
    const [low, high] = reader.ends(given.beta, place);
    return { kind: 'beta', alpha, beta, low, high };
  }
  if (given.discrete) return discrete(given.discrete, [...path, 'discrete'], reader);
  if (given.chance !== undefined) {
    return { kind: 'chance', probability: reader.value(given.chance, [...path, 'chance'], '', { low: 0, high: 1, example: '1.5 %' }) };
  }
  if (given.measured) return measured(given.measured, [...path, 'measured'], reader);
  return undefined;
}

function discrete(given: NonNullable<FileDistribution['discrete']>, path: Path, reader: DistributionReader): Distribution {
  const values = reader.list(given.values, [...path, 'values'], reader.context.row.unit);
  const equal = values.map(() => 1);
  const parts = given.weights === undefined ? equal : reader.list(given.weights, [...path, 'weights'], '', { above: 0, example: '0.5' });
  if (parts.length > 0 && values.length > 0 && parts.length !== values.length) {
    reader.context.findings.problem(
      [...path, 'weights'],
      `read ${parts.length} weights for ${values.length} values; expected one for each. Add or remove some.`,
    );
  }
  const sum = parts.reduce((a, b) => a + b, 0);
  // already summing to 1 but for rounding: kept to the last bit, so that a study written out and read again is the same
  const weights = Math.abs(sum - 1) <= 1e-12 ? parts : parts.map((w) => w / sum);
  return { kind: 'discrete', values, weights };
}

async function measured(
  given: NonNullable<FileDistribution['measured']>,
  path: Path,
  reader: DistributionReader,
): Promise<Distribution | undefined> {
  const { row, findings } = reader.context;
  const as = given.as ?? 'resample';
  if (as !== 'resample' && as !== 'smooth') {
    findings.problem([...path, 'as'], `read ${show(as)}; expected resample or smooth. Write one of the two.`);
    return undefined;
  }
  const values =
    given.values === undefined ? await fromTable(given, path, reader) : reader.list(given.values, [...path, 'values'], row.unit);
  if (given.values !== undefined && (given.file !== undefined || given.column !== undefined)) {
    findings.problem(path, 'read values and a file; expected one of the two. Remove the other.');
  }
  if (values === undefined || values.length === 0 || values.some(Number.isNaN)) return undefined;
  const sorted = [...values].sort((a, b) => a - b);
  if (as === 'resample') {
    if (given.bandwidth !== undefined)
      findings.problem([...path, 'bandwidth'], 'read a bandwidth with resample; expected none. Write as: smooth, or remove it.');
    return { kind: 'measured', values: sorted, as, bandwidth: 0 };
  }
  const bandwidth = given.bandwidth === undefined ? silvermanBandwidth(sorted) : reader.spread(given.bandwidth, [...path, 'bandwidth']);
  if (bandwidth === undefined || bandwidth === 0) {
    const [low, high] = quartiles(sorted);
    findings.problem(
      given.bandwidth === undefined ? path : [...path, 'bandwidth'],
      `read ${sorted.length} values with quartiles ${low} and ${high}, which leave a bandwidth of 0; expected one above 0. Give a bandwidth, or write as: resample.`,
    );
    return undefined;
  }
  return { kind: 'measured', values: sorted, as, bandwidth };
}

async function fromTable(
  given: NonNullable<FileDistribution['measured']>,
  path: Path,
  reader: DistributionReader,
): Promise<number[] | undefined> {
  const { row, folder, findings } = reader.context;
  if (given.file === undefined || given.column === undefined) {
    const missing = given.file === undefined ? 'file' : 'column';
    findings.problem(path, `missing ${missing}; expected a file and the name of its column, or values. Add it.`);
    return undefined;
  }
  const unit = given.unit ?? row.unit;
  const probe = readQuantity(`1 ${unit}`, row.unit);
  if ('problem' in probe) {
    findings.problem(
      [...path, 'unit'],
      `read ${show(unit)} (${probe.problem}); expected a unit of ${expectedOf(row.unit)}. Give the unit of the column.`,
    );
    return undefined;
  }
  const file = await folder.read(given.file);
  if ('problem' in file) {
    findings.problem([...path, 'file'], `read ${show(given.file)}: ${file.problem}`);
    return undefined;
  }
  const column = readColumns(file.text, file.shown, [given.column], findings)?.[0];
  if (column?.length === 0) findings.problemAt(`${file.shown}:1:1`, `read no value in ${given.column}; expected at least one. Add rows.`);
  return column?.map((cell) => {
    const reading = readQuantity(`${cell.value} ${unit}`, row.unit);
    return 'value' in reading ? reading.value : UNKNOWN;
  });
}

function share(p: number): string {
  return `${Number((100 * p).toPrecision(2))} %`;
}

function checkBounds(distribution: Distribution, path: Path, { row, findings }: Context): void {
  const outside = shareHeld(distribution, row.low, row.high);
  const bounds = `${display(row.low, row.unit)} to ${display(row.high, row.unit)}`;
  if (outside > MOST_OUTSIDE) {
    findings.problem(
      path,
      `read a distribution with ${share(outside)} of its draws outside ${bounds}; expected at most ${share(MOST_OUTSIDE)}. ${distribution.kind === 'student' ? 'So few values leave too much open: measure more, or guess and say so' : 'Narrow it, or cut it off with truncatedNormal'}.`,
    );
  } else if (outside > NOTED_OUTSIDE) {
    findings.warning(
      path,
      `${share(outside)} of the draws lie outside what the model accepts, ${bounds}, and will be held there. ${distribution.kind === 'student' ? 'The tails are wide because few values were measured; more narrow them' : 'The tail is wide; cut it off with truncatedNormal'}.`,
    );
  }
}

/** A plain value: the input stays there on every flight. */
export function readFixed(given: unknown, path: Path, row: InputRow, findings: Findings): Distribution | undefined {
  if (row.type === 'yesNo') {
    const read = onOff('', 'off').safeParse(given === 1 ? true : given === 0 ? false : given);
    if (read.success && given !== undefined) return { kind: 'fixed', value: read.data ? 1 : 0 };
    findings.problem(path, `read ${show(given)}; expected a chance, or 0 or 1 for every flight. Write, for example, { chance: 1.5 % }.`);
    return undefined;
  }
  const read = checkQuantity(given, row.unit, { low: row.low, high: row.high });
  if ('value' in read) return { kind: 'fixed', value: read.value };
  findings.problem(path, read.text);
  return undefined;
}
