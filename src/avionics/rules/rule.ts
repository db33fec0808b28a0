/** What an ignition rule is. Not a rule itself; each kind has a small file of its own, listed in kinds.ts. */
export interface RuleConstant {
  /** Name in a study file. */
  readonly key: string;
  /** SI unit as printed; '' for a plain number. */
  readonly unit: string;
  /** Inclusive bounds, SI. */
  readonly low: number;
  readonly high: number;
  readonly meaning: string;
}

/** What the flight computer was told about the vehicle before the flight: nominal values only, never the drawn ones. */
export interface OnboardModel {
  /** kg, at the ignition command. */
  readonly mass: number;
  /** kg; the spent ascent casing, which leaves `ejectDelay` after thrust starts. */
  readonly casingMass: number;
  readonly ejectDelay: number;
  /** kg of landing propellant, burnt in proportion to impulse. */
  readonly propellantMass: number;
  /** s from command to thrust. */
  readonly ignitionDelay: number;
  /** Nominal landing thrust curve: s and N. */
  readonly time: readonly number[];
  readonly thrust: readonly number[];
  /** kg/m; drag is this times speed squared, falling tail first with the legs out, at the ground's air density. */
  readonly dragConstant: number;
  /** m/s^2 */
  readonly gravity: number;
}

/**
 * Height left before the rule fires, in metres of believed height: it fires when this is <= 0.
 * @param height m, believed, lead-time compensated   @param speed m/s, believed, downward positive
 * @param apogee m, believed
 */
export type RuleMargin = (height: number, speed: number, apogee: number) => number;

/** A rule's constants by name, SI. */
export type ConstantValues = Readonly<Record<string, number>>;

export interface RuleKind {
  /** Name in a study file. */
  readonly kind: string;
  readonly meaning: string;
  readonly constants: readonly RuleConstant[];
}
