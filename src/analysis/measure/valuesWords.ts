/** What a measured list says, in words and as lines of a study. Measures nothing. */
import { inputLine, inputsSection, written } from './block.ts';
import { REFUSED } from './fits.ts';
import type { ValuesMeasurement } from './measurement.ts';

type Found = Pick<ValuesMeasurement, 'input' | 'unit' | 'values' | 'mean' | 'fits' | 'chosen' | 'distribution' | 'next' | 'outliers'>;

const FEW_WORDS: Readonly<Record<Found['chosen'], string>> = {
  normal: 'a bell curve',
  lognormal: 'a bell curve of the logarithm',
  uniform: 'anywhere between two ends alike',
  triangular: 'a triangle',
  sample: 'none of the shapes tried',
  student: 'no shape yet',
  chance: 'a chance',
};

/** One sentence, true whatever the numbers. */
export function valuesFinding({ input, unit, values, mean, chosen, next }: Found): string {
  const n = values.length;
  if (chosen === 'chance') {
    const [low, high] = mean.interval ?? [0, 1];
    const percent = (share: number): string => `${Number((100 * share).toPrecision(3))} %`;
    return `${input} happened in ${Math.round(n * mean.value)} of ${n}: a chance of ${percent(low)} to ${percent(high)}.`;
  }
  const [low, high] = next ?? [Number.NaN, Number.NaN];
  const range = `the next lies between ${written(three(low), unit)} and ${written(three(high), unit)} nine times in ten`;
  if (chosen === 'student') return `${n} values of ${input} are too few to tell a shape from; as a bell curve ${range}.`;
  if (chosen === 'sample') return `${n} values of ${input} fit ${FEW_WORDS.sample}, so draw them themselves; ${range}.`;
  return `${n} values of ${input} go with ${FEW_WORDS[chosen]}: ${range}.`;
}

const three = (x: number): number => Number(x.toPrecision(3));

/** How it was found, a line each. */
export function valuesHow({ values, fits, chosen, outliers }: Found): readonly string[] {
  if (chosen === 'chance') {
    return ['The interval is Clopper and Pearson’s. Drawn is (k + 1/2)/(n + 1), Jeffreys’: none in a few is not never.'];
  }
  return [
    ...(fits.length > 0
      ? [
          `Each shape was fitted, and its distance to the values (Anderson and Darling’s) compared with that of samples drawn from it and fitted anew; refused under ${100 * REFUSED} %. Of the others the likeliest is taken (Akaike’s criterion), an earlier in the list unless a later is better by 2.`,
          `Not refused is not proven: ${values.length} values can tell only gross misfits.`,
        ]
      : []),
    ...(chosen === 'normal' || chosen === 'student' || chosen === 'lognormal'
      ? ['What is drawn is wider than the values’ own spread: it is what the next one may be, with so few known (Student’s t).']
      : []),
    ...(chosen === 'sample' ? ['A sample that is drawn itself never gives more than its own extremes, but for the smoothing.'] : []),
    ...(outliers.length > 0
      ? [
          'A value is named as far when it lies 3.5 times as far as the median distance makes likely (Iglewicz and Hoaglin); none was left out.',
        ]
      : []),
    'Intervals are 95 %.',
  ];
}

/** Lines of YAML. */
export function valuesBlock({ input, distribution, values, outliers }: Found): readonly string[] {
  const far = outliers.length === 0 ? '' : `, ${outliers.length} of them far out`;
  return inputsSection([inputLine({ key: input, distribution, note: `${values.length} values${far}` })]);
}
