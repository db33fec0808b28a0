/**
 * Touchdown by rules (model section 13): at the instant of contact a vehicle either stands, from then on at rest, or
 * has failed. The ground pushes on nothing. A standing vehicle that its motor lifts off hops; its next contact is the
 * first instant at which its lowest point is at or below the ground and its centre of mass moves toward it, once it has
 * moved away or its thrust no longer carries it: so a foot that turns down into the ground is no contact, and no two
 * contacts share an instant.
 */
import type { PlantParameters } from '../parameters.ts';
import type { Load, TrueState } from '../state.ts';
import { clearance, liftSurplus, normalSpeed } from './clearance.ts';
import { Contact, GroundContact, STANDS, TouchdownLimits } from './groundContact.ts';
import { judgeContact } from './judgement.ts';

/** Good contacts after which a hopping flight ends. */
const MOST_GOOD_CONTACTS = 8;

export class RulesContact extends GroundContact {
  private limits: TouchdownLimits = new TouchdownLimits();
  readonly last: Contact = new Contact();
  /**
   * Since the last lift-off, if there was one: it may touch again; and its lowest point was above the ground at the
   * last accepted state.
   */
  hopping: boolean = false;
  armed: boolean = false;
  clear: boolean = false;

  begin(limits: TouchdownLimits, _p: PlantParameters): void {
    this.clearReport();
    this.limits = limits;
    this.sinkLimit = limits.sink;
    this.hopping = false;
    this.armed = false;
    this.clear = false;
  }

  beginTick(
    _s: TrueState,
    _load: Load,
    _share: number,
    _p: PlantParameters,
    _from: number,
    _to: number,
    _substeps: i32,
    _thrustEnd: number,
  ): void {}

  stepEnd(_now: number, usual: number, _tickEnd: number): number {
    return usual;
  }

  push(_out: TrueState, _s: TrueState, _load: Load, _p: PlantParameters): void {}

  felt(_k: TrueState, _s: TrueState, _load: Load, _p: PlantParameters): void {}

  gap(s: TrueState, load: Load, share: number, p: PlantParameters): number {
    const height = clearance(s, load.xcg, share, p);
    if (!this.hopping || this.clear) return height;
    // At or below the ground since the lift-off: the contact is where the centre of mass begins to move toward it.
    if (height > 0 || !(this.armed || liftSurplus(s, load, p) <= 0)) return Number.POSITIVE_INFINITY;
    return normalSpeed(s, p);
  }

  accepted(s: TrueState, load: Load, share: number, p: PlantParameters, _time: number, crossed: boolean): boolean {
    if (!this.hopping) return crossed;
    const speed = normalSpeed(s, p);
    if (speed > 0 || liftSurplus(s, load, p) <= 0) this.armed = true;
    if (!crossed) {
      this.clear = clearance(s, load.xcg, share, p) > 0;
      return false;
    }
    // It came down on the ground, unless a foot only turned down into it.
    if (!this.clear || (speed < 0 && this.armed)) return true;
    this.clear = false;
    return false;
  }

  judge(s: TrueState, load: Load, share: number, p: PlantParameters, time: number): void {
    this.verdict = judgeContact(this.last, s, load, share, p, this.limits);
    this.report(this.last, s, time);
    this.rests = this.verdict === STANDS;
    this.over = !this.rests;
  }

  /** From rest, with the lowest foot exactly on the ground. */
  lifted(s: TrueState, load: Load, share: number, p: PlantParameters): void {
    const height = clearance(s, load.xcg, share, p);
    s.rx -= height * p.groundX;
    s.ry -= height * p.groundY;
    s.rz -= height * p.groundZ;
    this.hopping = true;
    this.armed = false;
    this.clear = false;
  }

  finished(canLift: boolean): boolean {
    return !canLift || this.contacts >= MOST_GOOD_CONTACTS;
  }

  ended(_s: TrueState): void {}
}
