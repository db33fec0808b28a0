/**
 * What a value of a sweep means for an input: one that varies is moved to lie about the value, as wide as it was, for
 * what is built and bought to another number is no more exact than before. Held there are wind and air, for the value is
 * the day's, one on a circle without a middle, one that does not vary, and any that is to be held. Flies nothing.
 */
import { CATALOGUE, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import { scaleCircularSpread } from '../../inputs/circularSpread.ts';
import { movedTo } from '../../inputs/spread.ts';
import { varies } from '../../inputs/varying.ts';
import { variationEntry } from '../../study/resolved.ts';
import type { Study } from '../../study/study.ts';
import { readQuantity } from '../../study/units.ts';
import type { SweepAxis, SweepValue } from './sweepValues.ts';

/** Groups of what the day brings: a sweep over them asks for a day of just that value. */
const DAY = ['wind', 'air state'];

/** How an axis goes over what it names. @param hold inputs that vary are to be held without their spread */
export function spreadAlong(axis: SweepAxis, study: Study, hold: boolean): SweepAxis['spread'] {
  if (!isInputKey(axis.path)) return null;
  const d = study.inputs[axis.path];
  if (d === undefined || !varies(d)) return null;
  const { circle, group } = CATALOGUE[inputIndex(axis.path)];
  const noMiddle = circle === true && scaleCircularSpread(d, 0) === null;
  return hold || noMiddle || DAY.includes(group) ? 'held' : 'kept';
}

/** The study with inputs that were moved held at their values: what its nominal flight is. */
export function middleOf(axes: readonly SweepAxis[], values: readonly SweepValue[], study: Study): Study {
  const held = axes.flatMap(({ path, spread, unit }, a) => {
    if (spread !== 'kept' || !isInputKey(path)) return [];
    const { text, number } = values[a];
    const reading = readQuantity(number !== null && unit === '' ? number : text, CATALOGUE[inputIndex(path)].unit);
    // Of a chance the value is how often, not whether.
    return 'problem' in reading || study.inputs[path]?.kind === 'chance' ? [] : [[path, { kind: 'fixed', value: reading.value }] as const];
  });
  return held.length === 0 ? study : { ...study, inputs: { ...study.inputs, ...Object.fromEntries(held) } };
}

/** What stands at the axis's place for this value, as a study would say it. */
export function placed({ path, unit, spread }: SweepAxis, { text, number }: SweepValue, study: Study): unknown {
  const plain = number !== null && unit === '' ? number : text;
  if (spread !== 'kept' || !isInputKey(path)) return plain;
  const row = CATALOGUE[inputIndex(path)];
  const reading = readQuantity(plain, row.unit);
  const d = study.inputs[path];
  // What cannot be read, or cannot be, is said by the study's own checks, of the value as it was written.
  const fits = 'value' in reading && reading.value >= row.low && reading.value <= row.high;
  if (!fits || d === undefined || (d.kind === 'lognormal' && reading.value <= 0)) return plain;
  return variationEntry(movedTo(d, reading.value), study.stays[path]);
}
