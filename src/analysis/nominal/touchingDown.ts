/** A touchdown that is soft enough and yet no landing: it slides, leans, falls over, or comes down elsewhere. */
import { greatest } from '../../maths/extremes.ts';
import { Contact, TIPPED_OVER } from '../../plant/contact/groundContact.ts';
import { judgeContact } from '../../plant/contact/judgement.ts';
import type { Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import type { NominalFlight } from '../drops/nominalFlights.ts';
import type { NominalFinding } from './finding.ts';
import type { Instants } from './instants.ts';

/** Common practice, no source: a nominal flight keeps half of a limit for the luck of the others. */
const USUAL_SHARE = 0.5;
/** The widest stance that is tried, over what there is, and halvings of the range. */
const WIDEST = 3;
const HALVINGS = 20;

/** @param flight one whose sink is within its limit */
export function touchdownFindings(flight: NominalFlight, seen: Instants, study: Study): NominalFinding[] {
  const limits = heldLimits(study);
  const found: NominalFinding[] = [];
  const slide = flight.out('slide');
  if (slide > USUAL_SHARE * limits.slide) found.push(slides(flight, seen, study, slide));
  const tilt = flight.out('tilt');
  if (tilt > USUAL_SHARE * limits.tilt) {
    found.push({ key: 'leans', severity: tilt > limits.tilt ? 'fault' : 'doubt', tilt, limit: limits.tilt, rate: flight.out('tiltRate') });
  }
  found.push(...(study.touchdown.model === 'springs' ? springFindings(flight, seen, study) : stanceFindings(flight, seen)));
  const { outcome } = flight;
  const locked = flight.out('legsLocked');
  const { count } = study.vehicle.legs;
  // Legs that are still on their way have a finding of their own.
  if (outcome === 'leg gave way' && locked < count && (seen.contactSeen?.legShare ?? 0) >= 1)
    found.push({ key: 'legGaveWay', severity: 'fault', locked, count });
  if (outcome === 'outside the field' && study.limits.radius !== null) {
    found.push({ key: 'outsideField', severity: 'fault', distance: flight.out('landingDistance'), limit: study.limits.radius });
  }
  return found;
}

function slides(flight: NominalFlight, seen: Instants, study: Study, slide: number): NominalFinding {
  const limit = heldLimits(study).slide;
  const burning = seen.burning('landing');
  const drift = burning.length === 0 ? slide : burning[0].drift;
  const wind = seen.all[seen.all.length - 1].wind;
  const why = drift >= USUAL_SHARE * slide ? 'drift' : 'lean';
  const severity = slide > limit ? 'fault' : 'doubt';
  const most = greatest(burning.map(({ tilt }) => tilt));
  return {
    key: 'slides',
    severity,
    slide,
    limit,
    tilt: flight.out('tilt'),
    leanInBurn: most,
    drift,
    wind,
    damping: study.control.driftDamping,
    why,
  };
}

/** Half-angle of the stance seen from the centre of mass, rad, by the nearest edge between two feet. */
function stanceOf(radius: number, count: number, height: number): number {
  return Math.atan2(radius * Math.cos(Math.PI / count), height);
}

function stanceFindings(flight: NominalFlight, seen: Instants): NominalFinding[] {
  const contact = seen.contactSeen;
  if (contact === null) return [];
  const { plant, limits } = seen.setup;
  const radius = plant.legRadius;
  const height = plant.footStation - contact.load.xcg;
  const stance = stanceOf(radius, plant.legCount, height);
  if (flight.outcome === 'tipped over') {
    const tips = (wider: number): boolean => {
      const verdict = judgeContact(new Contact(), contact.state, contact.load, contact.legShare, { ...plant, legRadius: wider }, limits);
      return verdict === TIPPED_OVER;
    };
    const needed = tips(WIDEST * radius) ? null : leastRadius(tips, radius, WIDEST * radius);
    return [{ key: 'fallsOver', severity: 'fault', radius, needed, height, stance, slide: flight.out('slide') }];
  }
  // A lean that the limits call good must not put the centre of mass beyond the feet.
  if (stance > limits.tilt || limits.tilt === Number.POSITIVE_INFINITY) return [];
  const needed = (height * Math.tan(limits.tilt)) / Math.cos(Math.PI / plant.legCount);
  return [{ key: 'narrowStance', severity: 'doubt', radius, needed, height, stance, limit: limits.tilt }];
}

/** What a simulated touchdown failed of, though its sink was one that the legs stand. */
function springFindings(flight: NominalFlight, seen: Instants, study: Study): NominalFinding[] {
  const { plant } = seen.setup;
  const contact = seen.contactSeen;
  const { friction } = plant;
  switch (flight.outcome) {
    case 'tipped over': {
      if (contact === null) return [];
      const height = plant.footStation - contact.load.xcg;
      const needed = (friction * height) / Math.cos(Math.PI / plant.legCount);
      return [{ key: 'tripsOver', severity: 'fault', radius: plant.legRadius, needed, height, friction, lean: flight.out('greatestLean') }];
    }
    case 'leg gave way': {
      if (flight.out('legsLocked') < plant.legCount) return [];
      const force = flight.out('peakFootForce');
      const survivable = heldLimits(study).sink;
      return [{ key: 'legBreaks', severity: 'fault', force, strength: plant.footStrength, sink: flight.out('sink'), survivable }];
    }
    case 'slid':
      return [{ key: 'neverRests', severity: 'fault', slope: Math.acos(plant.groundZ), friction, slid: flight.out('slidPath') }];
    default:
      return [];
  }
}

function leastRadius(tips: (radius: number) => boolean, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (a + b) / 2;
    if (tips(middle)) a = middle;
    else b = middle;
  }
  return b;
}
