/** What firings say, in words and as lines of a study. Measures nothing. */
import { quantile } from '../../inputs/distributions.ts';
import { curveLines, inputLine, inputsSection, written } from './block.ts';
import type { MotorMeasurement, Spread } from './measurement.ts';

type Estimates = Pick<MotorMeasurement, 'firings' | 'impulse' | 'burnTime' | 'average' | 'peak' | 'spreads' | 'correlation' | 'curve'>;

/** Firings of which a correlation is shown at all. */
const FEWEST_FOR_CORRELATION = 4;

const plain = (x: number, digits = 3): string => String(Number(x.toPrecision(digits)));
const percent = (share: number): string => `${plain(100 * share, 2)} %`;

function spread(estimates: Pick<Estimates, 'spreads'>, what: Spread['what']): Spread | undefined {
  return estimates.spreads.find((one) => one.what === what);
}

/** One sentence, true whatever the numbers. */
export function motorFinding(estimates: Estimates): string {
  const { firings, impulse, burnTime } = estimates;
  const gives = `${plain(impulse.value)} N s in ${plain(burnTime.value)} s`;
  if (firings.length === 1) return `One firing gave ${gives}; how far motors differ it cannot say, so fire at least two more.`;
  const found = spread(estimates, 'impulse');
  if (found === undefined)
    return `${firings.length} firings gave ${gives}, all alike to the last digit: check that they are different recordings.`;
  const reach = 0.5 * (found.next[1] - found.next[0]);
  const few = firings.length < 5 ? `; ${firings.length} firings leave the spread wide open, and each further one narrows it` : '';
  return `${firings.length} firings gave ${gives} on average, and nine times in ten the next one’s impulse lies within ${percent(reach)} of that${few}.`;
}

/** How it was found, a line each. */
export function motorHow({ firings, correlation, spreads }: Estimates): readonly string[] {
  const many = firings.length > 1;
  const delays = firings.filter(({ delay }) => delay !== null).length;
  return [
    'The stand’s own level (tare) is the mean of the readings well before the burn, without a tenth at either end; where it is another afterwards, it is taken to move along with the impulse, as the weight of burnt propellant does.',
    'Burn time is from the first rise above 5 % of the peak to the last fall below it, the convention of NFPA 1125; total impulse goes on to the last thrust that noise does not hide. Readings below zero count as they are.',
    'Intervals are 95 %. Of one firing they hold noise and tare alone, not the calibration of the stand.',
    ...(many
      ? [
          'The curve is the mean of the firings, each drawn to one burn time and one impulse from the start of its burn.',
          `What is drawn is Student’s t with ${firings.length - 1} degree${firings.length === 2 ? '' : 's'} of freedom, wider than the firings’ own spread: it is what the next motor may be, not what these were.`,
          'Firings of one purchase do not show how purchases differ; that comes on top. Where the study says how long a draw stays (stays:), keep that.',
        ]
      : []),
    ...(spreads.some(({ distribution }) => distribution.kind === 'lognormal')
      ? [
          'The delay is drawn lognormal, since a bell curve this wide would light before the command; as wide as Student’s t of the logarithms, nine times in ten.',
        ]
      : []),
    ...(correlation !== null && firings.length < FEWEST_FOR_CORRELATION
      ? ['Three firings cannot say whether strong motors are the quick ones.']
      : []),
    ...(delays === 0 ? ['No moment of the command was given (a column command, or --command-at), so the delay is not known.'] : []),
  ];
}

/** Lines of YAML. */
export function motorBlock(estimates: Estimates, motor: 'ascent' | 'landing', files: readonly string[]): readonly string[] {
  const { firings, correlation, curve } = estimates;
  const many = firings.length > 1;
  const delay = spread(estimates, 'delay');
  const only = firings.length === 1 ? firings[0].delay : null;
  const typical = delay === undefined ? only : quantile(delay.distribution)(0.5);
  const line = (what: Spread['what'], key: string): readonly string[] => {
    const found = spread(estimates, what);
    if (found === undefined) return [];
    const made = inputLine({ key: `${motor}.${key}` as 'landing.impulseFactor', distribution: found.distribution, note: '' });
    // Two firings leave a spread that has no variance; a study would refuse such tails.
    return firings.length === 2 ? [`# ${made}`] : [made];
  };
  const inputs = [
    ...(firings.length === 2 ? ['# Two firings leave the spread all but open; fire a third before you use these.'] : []),
    ...line('impulse', 'impulseFactor'),
    ...line('burnTime', 'burnTimeFactor'),
    ...line('delay', 'ignitionDelay'),
  ];
  return [
    `${motor}: # these lines replace its curve${typical === null ? '' : ' and its delay'}`,
    `  # ${many ? `mean of ${firings.length} firings` : 'one firing'}: ${files.length > 3 ? `${files.length} files` : files.join(', ')}`,
    ...curveLines(curve).map((text) => `  ${text}`),
    ...(typical === null ? [] : [`  ignitionDelay: ${written(typical, 's')}`]),
    ...inputsSection(inputs),
    ...(correlation === null ? [] : correlationLines(correlation, firings.length, motor)),
  ];
}

function correlationLines(
  { value, interval }: { value: number; interval: readonly [number, number] | null },
  firings: number,
  motor: string,
): readonly string[] {
  // Of two bell curves; the study asks for Spearman's.
  const rank = Number(((6 / Math.PI) * Math.asin(value / 2)).toFixed(2));
  const held = Math.max(-0.95, Math.min(0.95, rank));
  const entry = `- { between: [${motor}.impulseFactor, ${motor}.burnTimeFactor], rank: ${held} }`;
  const range = interval === null ? '' : `, ${interval[0].toFixed(2)} to ${interval[1].toFixed(2)}`;
  if (interval === null || (interval[0] < 0 && interval[1] > 0)) {
    return ['correlations:', `  # ${entry} # ${value.toFixed(2)}${range} in ${firings} firings: not shown to differ from none`];
  }
  return ['correlations:', `  ${entry} # ${value.toFixed(2)}${range} in ${firings} firings`];
}
