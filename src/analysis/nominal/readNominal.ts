/** The nominal flight, read aloud: what is wrong with it, in the order of the flight. Prints nothing. */
import type { Outcome } from '../../flight/outputs.ts';
import { NO_RESULT_REASONS } from '../../flight/outputs.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { Study } from '../../study/study.ts';
import { NominalFlights } from '../drops/nominalFlights.ts';
import { climbFindings, motorFindings, ruleFindings, type Softest, softestOf } from './braking.ts';
import type { NominalFinding } from './finding.ts';
import { commandFindings, fallFindings, landingControlFindings, legFindings } from './goingDown.ts';
import { ascentControlFindings, coastFindings, liftoffFindings, phaseFindings, stabilityFindings } from './goingUp.ts';
import { Instants } from './instants.ts';
import { touchdownFindings } from './touchingDown.ts';
import { TURNED_OVER } from './turning.ts';

/** What `check --fly --json` prints. null: did not happen. */
export interface NominalReading {
  readonly title: string;
  readonly rule: string;
  readonly outcome: Outcome;
  /** m; m/s, m/s and rad, worst over contacts. */
  readonly apogee: number | null;
  readonly sink: number | null;
  readonly slide: number | null;
  readonly tilt: number | null;
  /** m/s: of the softest touchdown there is, wherever it is lit; m, true, where that is. */
  readonly softestSink: number | null;
  readonly softestHeight: number | null;
  /** In the order of the flight: what comes later may follow from what came before. */
  readonly findings: readonly NominalFinding[];
  /** Flights flown to find all this. */
  readonly flown: number;
}

/**
 * The reading when something is wrong, null when the nominal flight lands and keeps its nose up: one flight, where it does.
 * @param ruleName the study's first rule when left out   @throws UserError for an unknown rule
 */
export function nominalAmiss(study: Study, ruleName?: string): NominalReading | null {
  const flight = new NominalFlights(study).fly(ruleByName(study, ruleName));
  const turned = Math.max(...[flight.out('tiltRising'), flight.out('tiltFalling')].filter((tilt) => !Number.isNaN(tilt)));
  return flight.outcome === 'landed' && turned <= TURNED_OVER ? null : readNominal(study, ruleName);
}

/** @param ruleName the study's first rule when left out   @throws UserError for an unknown rule */
export function readNominal(study: Study, ruleName?: string): NominalReading {
  const rule = ruleByName(study, ruleName);
  const flights = new NominalFlights(study);
  const seen = new Instants();
  const flight = flights.fly(rule, {}, seen);
  const { outcome } = flight;
  const findings: NominalFinding[] = [...liftoffFindings(flight, seen, study)];
  let softest: Softest | null = null;
  if (findings.every(({ key }) => key !== 'noLiftoff')) {
    findings.push(
      ...stabilityFindings(flight, seen, study),
      ...ascentControlFindings(flight, seen, study),
      ...coastFindings(flight, seen, study),
      ...phaseFindings(flight, seen),
      ...fallFindings(flight, seen),
      ...legFindings(flight, seen),
      ...commandFindings(flight, rule, flights),
      ...landingControlFindings(flight, seen, study),
    );
    softest = softestOf(flights, rule);
    if (softest !== null) {
      findings.push(...motorFindings(softest, rule, flights, study), ...ruleFindings(flight, softest, rule, flights, study));
    }
    findings.push(...climbFindings(flight, seen, softest));
    // How it stands is judged where it was lit well, or else where it would have been.
    const soft = (sink: number): boolean => sink <= study.limits.sink;
    if (soft(flight.out('sink'))) findings.push(...touchdownFindings(flight, seen, study));
    else if (softest !== null && soft(softest.command.flight.out('sink'))) {
      findings.push(...touchdownFindings(softest.command.flight, softest.seen, study));
    }
    if (outcome === 'no result') {
      findings.push({ key: 'noResult', severity: 'fault', reason: NO_RESULT_REASONS[flight.out('noResultReason')] });
    }
  }
  const known = (x: number | undefined): number | null => (x === undefined || Number.isNaN(x) ? null : x);
  return {
    title: study.title,
    rule: rule.name,
    outcome,
    apogee: known(flight.out('apogee')),
    sink: known(flight.out('sink')),
    slide: known(flight.out('slide')),
    tilt: known(flight.out('tilt')),
    softestSink: known(softest?.command.flight.out('sink')),
    softestHeight: known(softest?.command.flight.out('ignitionHeight')),
    findings,
    flown: flights.flown,
  };
}
