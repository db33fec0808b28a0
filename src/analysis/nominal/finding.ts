/**
 * What may be wrong with a nominal flight: one shape a finding, all numbers SI. Plain data; cli/nominalText.ts puts it
 * into words.
 */
import type { InputKey } from '../../inputs/catalogue.ts';
import type { LoopMargins } from './attitudeLoop.ts';

/**
 * `fault`: the nominal flight fails by it, or cannot but fail. `doubt`: it flies in spite of it, with less to spare
 * than is usual.
 */
export type Severity = 'fault' | 'doubt';

interface Of<K extends string> {
  readonly key: K;
  readonly severity: Severity;
}

/**
 * Unstable, and lower, higher or no gains would mend it; stable with little margin; stable, but too slow for the burn.
 */
export type LoopFault = 'tooStrong' | 'tooWeak' | 'noGain' | 'thin' | 'slow';

/** A motor that burns, and so steers. */
export type Burn = 'ascent' | 'landing';

export type NominalFinding =
  /** N. */
  | (Of<'noLiftoff'> & { readonly peakThrust: number; readonly meanThrust: number; readonly weight: number })
  /** N: mean thrust along the rail. m: apogee, where it falls back while the motor still burns; else null. */
  | (Of<'weakLiftoff'> & { readonly thrust: number; readonly weight: number; readonly fallsBackFrom: number | null })
  /** m/s; rad between the air's flow and the axis; m/s that would bring it to the usual; m of rail for that. */
  | (Of<'slowRail'> & {
      readonly speed: number;
      readonly wind: number;
      readonly angle: number;
      readonly enough: number;
      readonly rail: number;
    })
  /** m/s^2: the greatest axial specific force, the threshold. */
  | (Of<'liftoffUnseen'> & { readonly felt: number; readonly threshold: number; readonly confirm: number })
  | (Of<'burnoutUnseen'> & { readonly felt: number; readonly threshold: number; readonly confirm: number })
  /** m/s believed at the end. */
  | (Of<'descentUnseen'> & { readonly believedRise: number })
  /** Tilt in rad, and when, s. `phase` is the one that it was lost in. */
  | (Of<'lostControl'> & { readonly phase: Burn; readonly tilt: number; readonly limit: number; readonly time: number })
  /** Calibres; m aft of the nose tip of the centres of pressure and mass. */
  | (Of<'unstableUp'> & {
      readonly place: 'rail exit' | 'burnout';
      readonly margin: number;
      readonly pressure: number;
      readonly mass: number;
      readonly held: boolean;
    })
  /** The air's moment over the gimbal's, and when. */
  | (Of<'littleAuthority'> & {
      readonly phase: Burn;
      readonly share: number;
      readonly time: number;
      readonly angle: number;
      readonly gimbal: number;
    })
  /** s; the servo's lag and half a tick. */
  | (Of<'loop'> & {
      readonly phase: Burn;
      readonly fault: LoopFault;
      readonly margins: LoopMargins;
      readonly time: number;
      readonly burn: number;
      readonly delay: number;
    })
  | (Of<'wrongInFlight'> & { readonly phase: 'coast' | 'fall'; readonly tilt: number; readonly time: number })
  /** Calibres at the command, legs as they were then; stations as above. */
  | (Of<'unstableDown'> & {
      readonly margin: number;
      readonly pressure: number;
      readonly mass: number;
      readonly legsOut: boolean;
      readonly flipped: boolean;
    })
  /**
   * s from locked legs to contact (negative: too late), from the release, and of deployment. Released is null when
   * never.
   */
  | (Of<'legsLate'> & {
      readonly spare: number;
      readonly release: number | null;
      readonly deployment: number;
      readonly contact: number;
      readonly earlier: number;
    })
  /** rad. Released: it let go before the ground, too late perhaps. */
  | (Of<'guardHeld'> & { readonly tilt: number; readonly guard: number; readonly released: boolean })
  /** m believed on the ground, where the rule still waited. */
  | (Of<'neverLit'> & { readonly rule: string; readonly believedHeight: number })
  | (Of<'fixedToFail'> & { readonly input: InputKey })
  /** N s: about what it takes by the touchdown, what is burnt by then and what there is; kg, m, m/s, N. */
  | (Of<'cannotStop'> & {
      readonly needed: number;
      readonly burnt: number;
      readonly impulse: number;
      readonly mass: number;
      readonly apogee: number;
      readonly fallSpeed: number;
      readonly sink: number;
      readonly limit: number;
      readonly peakThrust: number;
      readonly weight: number;
    })
  /** m climbed, s of burn left when it stopped falling, thrust over weight then. */
  | (Of<'climbs'> & {
      readonly climbed: number;
      readonly height: number;
      readonly left: number;
      readonly ratio: number;
      readonly hops: number;
      readonly everywhere: boolean;
    })
  /**
   * m, true: lit at, softest at, the heights between which the sink keeps its limit; the constant that alone would do
   * it, null where none can.
   */
  | (Of<'ruleOff'> & {
      readonly rule: string;
      readonly lit: number;
      readonly softest: number;
      readonly low: number;
      readonly high: number;
      readonly constant: { readonly key: string; readonly unit: string; readonly value: number; readonly better: number } | null;
    })
  /** Stopped softly, lit where that is best, and yet not landed. */
  | (Of<'slides'> & {
      readonly slide: number;
      readonly limit: number;
      readonly tilt: number;
      readonly leanInBurn: number;
      readonly drift: number;
      readonly wind: number;
      readonly damping: number;
      readonly why: 'drift' | 'lean';
    })
  | (Of<'leans'> & { readonly tilt: number; readonly limit: number; readonly rate: number })
  /** m; rad; null when no stance up to three times as wide stands. */
  /** Simulated: m, 1 and rad; the radius from which what slides no longer tips. */
  | (Of<'tripsOver'> & {
      readonly radius: number;
      readonly needed: number;
      readonly height: number;
      readonly friction: number;
      readonly lean: number;
    })
  /** Simulated, all legs locked: N. */
  | (Of<'legBreaks'> & { readonly force: number; readonly strength: number; readonly sink: number; readonly survivable: number })
  /** Simulated: rad, 1, m. */
  | (Of<'neverRests'> & { readonly slope: number; readonly friction: number; readonly slid: number })
  | (Of<'fallsOver'> & {
      readonly radius: number;
      readonly needed: number | null;
      readonly height: number;
      readonly stance: number;
      readonly slide: number;
    })
  | (Of<'narrowStance'> & {
      readonly radius: number;
      readonly needed: number;
      readonly height: number;
      readonly stance: number;
      readonly limit: number;
    })
  | (Of<'legGaveWay'> & { readonly locked: number; readonly count: number })
  | (Of<'outsideField'> & { readonly distance: number; readonly limit: number })
  | (Of<'noResult'> & { readonly reason: string });
