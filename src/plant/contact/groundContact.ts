/**
 * What a touchdown model is, as the motion and the loop ask it: when something touches, what the ground does to the
 * vehicle, how a contact is judged, and when the flight is over. Not a model itself; each kind has a file of its own
 * beside this one. No one outside this folder knows which kind a flight has but the place that makes it
 * (flight/loop.ts).
 *
 * In a tick: `beginTick`; then for each step `stepEnd`, `push` in every stage, `gap` at its end (a step that ends below 0
 * is cut at the crossing), `accepted` with the state it led to and, while it pushes, `felt` with that state's derivative.
 * Where `accepted` says so the motion stops and the loop has the contact judged with `judge`. At the end, `ended`.
 */
import type { PlantParameters } from '../parameters.ts';
import type { Load, TrueState } from '../state.ts';

/** m/s, m/s, rad. */
export class TouchdownLimits {
  sink: number = 0;
  slide: number = 0;
  tilt: number = 0;
}

/** The check that failed first, or none. */
export const STANDS = 0;
export const SANK = 1;
export const SLID = 2;
export const LEANED = 3;
export const LEG_GAVE_WAY = 4;
export const TIPPED_OVER = 5;
export type Verdict = i32;

export abstract class GroundContact {
  /** Of the last contact judged; before the first, `STANDS`. */
  verdict: Verdict = STANDS;
  /** The flight ended at the last contact. */
  over: boolean = false;
  /** The last contact left the vehicle at rest. */
  rests: boolean = false;
  /** The ground pushes on the vehicle now: `push` is to be asked. */
  pushes: boolean = false;
  /** m; a gap no farther from zero is a crossing located. */
  closeEnough: number = 0;
  /** Lost control and extreme tilts are of the flight before the first contact only. */
  watchesToTouchdown: boolean = false;

  /**
   * What it reports; NaN until there is a contact. Sink, slide, tilt and tilt rate (m/s, rad, rad/s) are the worst over
   * contacts.
   */
  contacts: number = 0;
  contactTime: number = Number.NaN;
  lastContactTime: number = Number.NaN;
  sink: number = Number.NaN;
  slide: number = Number.NaN;
  tilt: number = Number.NaN;
  tiltRate: number = Number.NaN;
  /** Those of the last contact. */
  lastSink: number = Number.NaN;
  legsLocked: number = Number.NaN;
  landingEast: number = Number.NaN;
  landingNorth: number = Number.NaN;
  /** m/s; the sink that the last contact had to keep. */
  sinkLimit: number = Number.POSITIVE_INFINITY;
  /**
   * Of a touchdown that is simulated, else NaN: greatest force on a foot, N; greatest specific force along the axis, m/s^2,
   * while a foot touches; cosine and sine of the greatest lean from the ground's normal; m, the longest way a foot slid;
   * times all feet came off the ground.
   */
  peakFootForce: number = Number.NaN;
  peakSpecificForce: number = Number.NaN;
  leanCos: number = Number.NaN;
  leanSin: number = Number.NaN;
  slidPath: number = Number.NaN;
  rebounds: number = Number.NaN;

  /** A new flight. */
  abstract begin(limits: TouchdownLimits, p: PlantParameters): void;
  /**
   * The truth is about to move from `from` to `to`, s, with all that is held through a tick in place.
   * @param share of the legs' deployment, 0..1   @param substeps the flight's own   @param thrustEnd s; Infinity while no
   * landing thrust has been or is to come
   */
  abstract beginTick(
    s: TrueState,
    load: Load,
    share: number,
    p: PlantParameters,
    from: number,
    to: number,
    substeps: i32,
    thrustEnd: number,
  ): void;
  /**
   * Where a step that starts at `now` ends at the latest, s: `usual` by the flight's own sub-steps, at most `tickEnd`.
   */
  abstract stepEnd(now: number, usual: number, tickEnd: number): number;
  /** Adds what the ground's forces do at a stage to its derivative; asked while it `pushes`. */
  abstract push(out: TrueState, s: TrueState, load: Load, p: PlantParameters): void;
  /** Positive until something touches; Infinity while nothing can. Steps are cut where it passes zero. */
  abstract gap(s: TrueState, load: Load, share: number, p: PlantParameters): number;
  /**
   * The state a step in free flight led to.
   * @param crossed whether the step was cut where `gap` passed zero   @returns whether there is a contact to judge, and
   * the motion stops.
   */
  abstract accepted(s: TrueState, load: Load, share: number, p: PlantParameters, time: number, crossed: boolean): boolean;
  /**
   * Adds to the derivative of the state just accepted, at which it pushes, what its forces do, as `push` does; and takes
   * note of it. Wind and load are those that the step had.
   */
  abstract felt(k: TrueState, s: TrueState, load: Load, p: PlantParameters): void;
  /** Measures and judges the contact at which the motion stopped; sets `verdict`, `over`, `rests` and the report. */
  abstract judge(s: TrueState, load: Load, share: number, p: PlantParameters, time: number): void;
  /** A vehicle at rest is let go: it lifts off from this state, which may be set right. */
  abstract lifted(s: TrueState, load: Load, share: number, p: PlantParameters): void;
  /** Whether a vehicle at rest ends its flight. @param canLift its landing motor may still lift it */
  abstract finished(canLift: boolean): boolean;
  /** The flight is over, in this state. */
  abstract ended(s: TrueState): void;

  /** Forgets the last flight's report. */
  protected clearReport(): void {
    this.verdict = STANDS;
    this.over = false;
    this.rests = false;
    this.pushes = false;
    this.contacts = 0;
    this.contactTime = Number.NaN;
    this.lastContactTime = Number.NaN;
    this.sink = Number.NaN;
    this.slide = Number.NaN;
    this.tilt = Number.NaN;
    this.tiltRate = Number.NaN;
    this.lastSink = Number.NaN;
    this.legsLocked = Number.NaN;
    this.landingEast = Number.NaN;
    this.landingNorth = Number.NaN;
    this.sinkLimit = Number.POSITIVE_INFINITY;
    this.peakFootForce = Number.NaN;
    this.peakSpecificForce = Number.NaN;
    this.leanCos = Number.NaN;
    this.leanSin = Number.NaN;
    this.slidPath = Number.NaN;
    this.rebounds = Number.NaN;
  }

  /** Adds one contact to the report. */
  protected report(contact: Contact, s: TrueState, time: number): void {
    if (this.contacts === 0) this.contactTime = time;
    this.contacts++;
    this.lastContactTime = time;
    this.sink = worst(this.sink, contact.sink);
    this.slide = worst(this.slide, contact.slide);
    this.tilt = worst(this.tilt, contact.tilt);
    this.tiltRate = worst(this.tiltRate, contact.tiltRate);
    this.lastSink = contact.sink;
    this.legsLocked = contact.legsLocked;
    this.landingEast = s.rx;
    this.landingNorth = s.ry;
  }
}

/** A contact as measured; one per worker, overwritten. m/s, rad, rad/s. */
export class Contact {
  sink: number = 0;
  slide: number = 0;
  tilt: number = 0;
  tiltRate: number = 0;
  legsLocked: number = 0;
  /** The slide and the lean as vectors along the ground, m/s and 1; the lean's length, and the axis along the normal. */
  slideX: number = 0;
  slideY: number = 0;
  slideZ: number = 0;
  leanX: number = 0;
  leanY: number = 0;
  leanZ: number = 0;
  lean: number = 0;
  up: number = 1;
}

function worst(before: number, now: number): number {
  return now > before || Number.isNaN(before) ? now : before;
}
