/**
 * How a study file may say that an input varies: the kinds of distribution and their keys. Values are read in
 * distribution.ts.
 */
import { z } from 'zod';
import { line, oneOf, QUANTITY_PATTERN, section } from './fields.ts';
import { staysField } from './stays.ts';

const raw = (meaning: string, examples: readonly unknown[]) =>
  z.unknown().meta({ type: ['number', 'string'], pattern: QUANTITY_PATTERN, description: meaning, examples: [...examples] });
const spread = raw('one standard deviation; with % on an input that has a unit, a share of its nominal value', ['3 %']);
const low = raw('least value', ['0.9']);
const high = raw('greatest value', ['1.1']);
const mean = raw('mean; the nominal value when absent', ['1']).optional();

const kinds = {
  normal: section('bell curve', { mean, sd: spread }),
  truncatedNormal: section('bell curve cut off at both ends', { mean, sd: spread, low, high }),
  lognormal: section('bell curve of the logarithm', {
    median: raw('the nominal value when absent', ['110 ms']).optional(),
    logSd: raw('standard deviation of the natural logarithm', [0.25]),
  }),
  uniform: section('anywhere between two ends', { low, high }),
  triangular: section('between two ends, most often near the mode', { low, mode: raw('likeliest value', ['1']), high }),
  beta: section('beta distribution stretched between two ends', {
    alpha: raw('shape, above 0', [2]),
    beta: raw('shape, above 0', [3]),
    low,
    high,
  }),
  discrete: section('one of a few values', {
    values: z.unknown().meta({ type: 'array', description: 'the values', examples: [['0.95', '1.02']] }),
    weights: z.unknown().meta({ type: 'array', description: 'how often each; scaled to sum to 1; all equal when absent' }).optional(),
  }),
  chance: raw('probability that it happens; for inputs that are yes or no', ['1.5 %']),
  student: section('bell curve with heavier tails: what few measured values leave open', {
    mean,
    scale: spread,
    freedom: raw('degrees of freedom, at least 1: one less than the values it was told from', [4]),
  }),
  measured: section('your own bench data', {
    file: line('CSV file beside the study', 'bench.csv').optional(),
    column: line('its column, by the name in the header line', 'impulse_factor').optional(),
    unit: line('unit of that column; SI when absent', 'ms').optional(),
    values: z.unknown().meta({ type: 'array', description: 'the values themselves, in place of file and column' }).optional(),
    as: z
      .unknown()
      .meta({
        enum: ['resample', 'smooth'],
        description: 'draw the values as they are, or smoothed by a Gaussian kernel',
        default: 'resample',
      })
      .optional(),
    bandwidth: raw('standard deviation of that kernel; Silverman’s rule when absent', ['0.5 %']).optional(),
  }),
};

/**
 * One distribution, its kind as the only key but for how long a draw stays. Values are read once the input's unit is
 * known.
 */
export const distributionField = oneOf('how this input varies from flight to flight', kinds, { stays: staysField });

/** What the file says of how one input varies, kind by kind. */
export type FileDistribution = Omit<z.output<typeof distributionField>, 'stays'>;
