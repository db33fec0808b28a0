/**
 * From apogee to the command: does it fall tail first, are the legs out in time, and does the motor get its command.
 */

import { DESCENT } from '../../avionics/phases.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import { FREE } from '../../plant/rates.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import type { NominalFlight, NominalFlights } from '../drops/nominalFlights.ts';
import { controlFindings } from './control.ts';
import type { NominalFinding } from './finding.ts';
import type { Instant, Instants } from './instants.ts';
import { airCentre, TURNED_OVER } from './turning.ts';

/** s; common practice, no source: time for a leg that sticks a little. */
const USUAL_SPARE = 0.5;

export function fallFindings(flight: NominalFlight, seen: Instants): NominalFinding[] {
  const top = flight.out('apogeeTime');
  const lit = seen.burning('landing')[0]?.time ?? Number.POSITIVE_INFINITY;
  const falling = seen.all.filter(({ time, rise, hold }) => hold === FREE && time >= top && time <= lit && rise < 0);
  const over = falling.find(({ tilt }) => tilt > TURNED_OVER);
  const flipped = over !== undefined;
  const found: NominalFinding[] = flipped
    ? [{ key: 'wrongInFlight', severity: 'fault', phase: 'fall', tilt: over.tilt, time: over.time }]
    : [];
  const margin = tailFirst(falling, seen, flipped);
  return margin === null ? found : [...found, margin];
}

/**
 * The margin while it falls tail first, where it is least: with the legs as they are, at the last such instant of each
 * leg position.
 */
function tailFirst(falling: readonly Instant[], seen: Instants, flipped: boolean): NominalFinding | null {
  let least: NominalFinding | null = null;
  let margin = 0;
  for (const legsOut of [false, true]) {
    const instant = falling.findLast(({ along, legShare }) => along < 0 && legShare >= 1 === legsOut);
    const centre = instant === undefined ? null : airCentre({ ...instant, across: 0 }, seen.setup.plant);
    if (centre === null || centre.margin >= margin) continue;
    margin = centre.margin;
    least = { key: 'unstableDown', severity: flipped ? 'fault' : 'doubt', ...centre, legsOut, flipped };
  }
  return least;
}

export function legFindings(flight: NominalFlight, seen: Instants): NominalFinding[] {
  const contact = flight.out('contactTime');
  // A computer that never recognises the descent has a finding of its own.
  if (Number.isNaN(contact) || seen.lastPhase < DESCENT) return [];
  const deployment = seen.setup.plant.deploymentTime;
  const out = seen.legReleaseTime + deployment;
  const spare = contact - out;
  if (!(spare < USUAL_SPARE)) return [];
  const release = Number.isFinite(seen.legReleaseTime) ? seen.legReleaseTime : null;
  const severity = spare < 0 ? 'fault' : 'doubt';
  return [{ key: 'legsLate', severity, spare, release, deployment, contact, earlier: USUAL_SPARE - spare }];
}

export function commandFindings(flight: NominalFlight, rule: RuleChoice, flights: NominalFlights): NominalFinding[] {
  const found: NominalFinding[] = [];
  const commanded = flight.out('ignitionCommanded') === 1;
  const guard = rule.tiltGuard;
  if (flight.outcome === 'held by the guard') {
    found.push({ key: 'guardHeld', severity: 'fault', tilt: flight.out('tiltFalling'), guard, released: false });
  } else if (commanded && flight.out('guardHeld') === 1) {
    const severity = flight.outcome === 'landed' ? 'doubt' : 'fault';
    found.push({ key: 'guardHeld', severity, tilt: flight.out('tiltFalling'), guard, released: true });
  } else if (!commanded && !Number.isNaN(flight.out('believedApogee')) && !Number.isNaN(flight.out('contactTime'))) {
    found.push({ key: 'neverLit', severity: 'fault', rule: rule.name, believedHeight: flight.out('believedFinalHeight') });
  }
  const failing: readonly InputKey[] = ['landing.igniterFails', 'ascent.casingStuck'];
  for (const input of failing) if (flights.nominal(input) === 1) found.push({ key: 'fixedToFail', severity: 'fault', input });
  return found;
}

/** What was lost in the landing burn, and why. */
export function landingControlFindings(flight: NominalFlight, seen: Instants, study: Study): NominalFinding[] {
  const limit = study.limits.lostControlTilt;
  const burning = seen.burning('landing');
  const beyond = burning.find(({ tilt }) => tilt > limit);
  const upset = burning.length > 0 && burning[0].tilt > limit;
  const head: NominalFinding[] =
    beyond === undefined || upset
      ? []
      : [{ key: 'lostControl', severity: 'fault', phase: 'landing', tilt: flight.out('tiltLandingBurn'), limit, time: beyond.time }];
  // A burn that began on its side says nothing of the control.
  return upset ? [] : [...head, ...controlFindings('landing', seen, study, beyond !== undefined)];
}
