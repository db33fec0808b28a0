/** Which inputs vary from flight to flight, and how often a draw would leave an input's bounds. Draws nothing. */
import { CATALOGUE, type InputKey } from './catalogue.ts';
import { cdf, type Distribution } from './distributions.ts';

/** How each input varies, by key; what is absent does not. */
export type InputDistributions = Readonly<Partial<Record<InputKey, Distribution>>>;

/** Whether draws can differ: false for `fixed` and for whatever has come down to one value. */
export function varies(d: Distribution): boolean {
  switch (d.kind) {
    case 'fixed':
      return false;
    case 'normal':
      return d.sd > 0;
    case 'student':
      return d.scale > 0;
    case 'truncatedNormal':
      return d.sd > 0 && d.high > d.low;
    case 'lognormal':
      return d.logSd > 0;
    case 'uniform':
    case 'triangular':
    case 'beta':
      return d.high > d.low;
    case 'discrete':
      return d.values.some((v) => v !== d.values[0]);
    case 'chance':
      return d.probability > 0 && d.probability < 1;
    case 'measured':
      return (d.as === 'smooth' && d.bandwidth > 0) || d.values.some((v) => v !== d.values[0]);
  }
}

/** Columns of the catalogue whose input varies, ascending. */
export function varyingInputs({ inputs }: { readonly inputs: InputDistributions }): readonly number[] {
  const columns: number[] = [];
  CATALOGUE.forEach((row, column) => {
    const d = inputs[row.key];
    if (d !== undefined && varies(d)) columns.push(column);
  });
  return columns;
}

/** Probability of a draw below `low` or above `high`, which the sampler holds at that bound. */
export function shareHeld(d: Distribution, low: number, high: number): number {
  const beyond = (x: number): boolean => x < low || x > high;
  switch (d.kind) {
    case 'fixed':
      return beyond(d.value) ? 1 : 0;
    case 'discrete':
      return d.values.reduce((sum, v, i) => (beyond(v) ? sum + d.weights[i] : sum), 0);
    case 'chance':
      return (beyond(0) ? 1 - d.probability : 0) + (beyond(1) ? d.probability : 0);
    case 'measured':
      if (d.as === 'resample' || d.bandwidth === 0) return d.values.filter(beyond).length / d.values.length;
      break;
  }
  const below = cdf(d);
  return below(low) + 1 - below(high);
}
