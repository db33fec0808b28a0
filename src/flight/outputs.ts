/**
 * The table of what a flight reports: the one list from which the flight's record, the Arrow schema, help text and
 * report labels are derived. It stands in flight/ because imports follow the road and the loop fills it; results/ gives
 * it its file. Heights are above the centre of mass's place on the pad, so that truth and belief compare. NaN means
 * "did not happen".
 */

/** Exactly one per flight, in the order in which they are tried (model section 14). */
export const OUTCOMES = [
  'no result',
  'landed',
  'outside the field',
  'lost control going up',
  'flipped',
  'held by the guard',
  'no landing thrust',
  'lost control coming down',
  'lit too high',
  'lit too low',
  'slid',
  'leaned',
  'leg gave way',
  'tipped over',
] as const;
export type Outcome = (typeof OUTCOMES)[number];

/** Why a flight has no result; the first is for flights that have one. */
export const NO_RESULT_REASONS = ['', 'time limit', 'never left the rail', 'state not finite', 'state absurd', 'worker failed'] as const;
export type NoResultReason = (typeof NO_RESULT_REASONS)[number];

interface Row<K extends string> {
  readonly key: K;
  /** SI unit as printed; '' for a plain number. */
  readonly unit: string;
  readonly type: 'number' | 'count' | 'yesNo' | 'outcome' | 'reason';
  readonly meaning: string;
}

const n = <const K extends string>(key: K, unit: string, meaning: string): Row<K> => ({ key, unit, type: 'number', meaning });
const count = <const K extends string>(key: K, meaning: string): Row<K> => ({ key, unit: '', type: 'count', meaning });
const yes = <const K extends string>(key: K, meaning: string): Row<K> => ({ key, unit: '', type: 'yesNo', meaning });

const ROWS = [
  {
    key: 'outcome',
    unit: '',
    type: 'outcome',
    meaning: 'how the flight ended; exactly one per flight',
  },
  {
    key: 'noResultReason',
    unit: '',
    type: 'reason',
    meaning: 'why there is no result, else empty',
  },
  n('sink', 'm/s', 'touchdown speed normal to the ground, of the centre of mass; the worst over contacts'),
  n('slide', 'm/s', 'touchdown speed along the ground, of the centre of mass; the worst over contacts'),
  n('tilt', 'rad', 'angle of the axis to the ground’s normal at contact; the worst over contacts'),
  n('tiltRate', 'rad/s', 'body rate across the axis at contact; the worst over contacts'),
  count('contacts', 'times the vehicle touched the ground'),
  count('hops', 'times it lifted off again after a good contact'),
  count('legsLocked', 'legs locked at the last contact'),
  n('landingEast', 'm', 'last contact, of the centre of mass, east of the pad'),
  n('landingNorth', 'm', 'last contact, of the centre of mass, north of the pad'),
  n('landingDistance', 'm', 'last contact, of the centre of mass, from the pad'),
  n('contactTime', 's', 'first contact'),
  n('flightTime', 's', 'end of the flight'),
  n('believedFinalHeight', 'm', 'height believed at the last tick of the flight'),
  n('believedFinalSpeed', 'm/s', 'descent speed believed at the last tick of the flight'),
  n('apogee', 'm', 'greatest true height'),
  n('apogeeTime', 's', 'time of the greatest true height'),
  n('believedApogee', 'm', 'height believed when the descent was recognised'),
  n('liftoffTime', 's', 'first movement along the rail'),
  n('liftoffDetectedTime', 's', 'liftoff recognised by the flight computer'),
  n('railExitSpeed', 'm/s', 'true speed when the vehicle leaves the rail'),
  n('ascentBurnoutHeight', 'm', 'true height when the ascent thrust ended'),
  n('ignitionTime', 's', 'ignition command'),
  n('ignitionHeight', 'm', 'true height at the ignition command'),
  n('believedIgnitionHeight', 'm', 'believed height at the ignition command'),
  n('ignitionSpeed', 'm/s', 'true descent speed at the ignition command'),
  n('believedIgnitionSpeed', 'm/s', 'believed descent speed at the ignition command'),
  n('ignitionHeightError', 'm', 'believed minus true height at the ignition command'),
  n('ignitionSpeedError', 'm/s', 'believed minus true descent speed at the ignition command'),
  n('ignitionTilt', 'rad', 'true tilt from the vertical at the ignition command'),
  n('thrustHeight', 'm', 'true height when the landing thrust starts'),
  n('landingBurnoutHeight', 'm', 'true height when the landing thrust ended in flight, before any contact'),
  n('impulseLeft', 'N s', 'landing impulse still to burn at the first contact'),
  n('slowestSink', 'm/s', 'least descent speed reached during the landing burn, before any contact'),
  n(
    'heightMiss',
    'm',
    'how much too high it lit, as seen: height of the lowest point where the descent stopped or was slowest; below 0, the height it yet needed; 0 where it touched down at a good speed',
  ),
  n('tiltRising', 'rad', 'greatest true tilt from the vertical up to apogee'),
  n('tiltFalling', 'rad', 'greatest true tilt from the vertical between apogee and the last contact'),
  n('tiltAscentBurn', 'rad', 'greatest true tilt from the vertical before ascent burnout'),
  n('tiltLandingBurn', 'rad', 'greatest true tilt from the vertical during the landing burn'),
  n('rollRate', 'rad/s', 'greatest roll rate, either sense'),
  n('saturationShare', '', 'share of control ticks in ascent and landing with a gimbal command at its limit'),
  n('largestAcceleration', 'm/s^2', 'greatest acceleration of the centre of mass in free flight'),
  yes('lostControlRising', 'true tilt passed its limit before ascent burnout'),
  yes('lostControlBurning', 'true tilt passed its limit during the landing burn'),
  yes('guardHeld', 'the tilt guard withheld ignition at least once'),
  yes('ignitionCommanded', 'the rule fired'),
  yes('landingThrust', 'the landing motor gave thrust'),
  yes('casingLeft', 'the spent ascent casing left'),
  count('stalls', 'computer stalls during the flight'),
  n('peakFootForce', 'N', 'greatest force on a foot, friction included; only where touchdown is simulated'),
  n('peakSpecificForce', 'm/s^2', 'greatest specific force along the axis while a foot touched; only where touchdown is simulated'),
  n('slidPath', 'm', 'longest way that a foot slid over the ground; only where touchdown is simulated'),
  n(
    'greatestLean',
    'rad',
    'greatest angle of the axis to the ground’s normal from the first touchdown on; only where touchdown is simulated',
  ),
  count('rebounds', 'times all feet came off the ground again; only where touchdown is simulated'),
] as const satisfies readonly Row<string>[];

/** Key of an output. */
export type OutputKey = (typeof ROWS)[number]['key'];
export type OutputRow = Row<OutputKey>;

/** One row an output, in the order of the columns of every results file. */
export const OUTPUTS: readonly OutputRow[] = ROWS;

const PLACE = Object.fromEntries(OUTPUTS.map((row, i) => [row.key, i])) as Record<OutputKey, number>;

/** Place of an output in the table. */
export function outputIndex(key: OutputKey): number {
  return PLACE[key];
}
