/** The nominal flight, read aloud: what is wrong with it, in the order of the flight. Prints nothing. */
import type { Outcome } from '../../flight/outputs.ts';
import { NO_RESULT_REASONS } from '../../flight/outputs.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import { type NominalFlight, NominalFlights } from '../drops/nominalFlights.ts';
import { climbFindings, motorFindings, ruleFindings, type Softest, softestOf } from './braking.ts';
import type { NominalFinding } from './finding.ts';
import { commandFindings, fallFindings, landingControlFindings, legFindings } from './goingDown.ts';
import { ascentControlFindings, coastFindings, liftoffFindings, phaseFindings, stabilityFindings } from './goingUp.ts';
import { Instants } from './instants.ts';
import { touchdownFindings } from './touchingDown.ts';

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
  /** False where the flight went wrong before in such a way that its landing says nothing. */
  readonly landingJudged: boolean;
  /** Which flight's slide, lean and stance the findings are of: as flown, or lit where that is softest. */
  readonly touchdownOf: 'flown' | 'softest' | null;
  /** Flights flown to find all this. */
  readonly flown: number;
}

/**
 * @param ruleName the study's first rule when left out
 * @param quick look for the softest touchdown only where the flight does not land: the findings of a flight that lands
 * lack nothing but that
 * @throws UserError for an unknown rule
 */
export function readNominal(study: Study, ruleName?: string, quick = false): NominalReading {
  const rule = ruleByName(study, ruleName);
  const flights = new NominalFlights(study);
  const seen = new Instants();
  const flight = flights.fly(rule, {}, seen);
  const { outcome } = flight;
  const findings: NominalFinding[] = [...liftoffFindings(flight, seen, study)];
  let softest: Softest | null = null;
  let landingJudged = false;
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
    // A flight that went over says nothing of how it would brake and stand.
    const upset = findings.some(({ key }) => key === 'lostControl' || key === 'wrongInFlight');
    const landed = outcome === 'landed';
    softest = upset || (quick && landed) ? null : softestOf(flights, rule);
    if (softest !== null) findings.push(...landingFindings(flight, seen, softest, rule, flights, study));
    landingJudged = landed ? !upset : softest !== null;
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
    landingJudged,
    touchdownOf: landingJudged ? touchdownShown(flight, softest, study) : null,
    flown: flights.flown,
  };
}

function landingFindings(
  flight: NominalFlight,
  seen: Instants,
  softest: Softest,
  rule: RuleChoice,
  flights: NominalFlights,
  study: Study,
): NominalFinding[] {
  const braking = [
    ...motorFindings(softest, rule, flights, study),
    ...ruleFindings(flight, softest, rule, flights, study),
    ...climbFindings(flight, seen, softest),
  ];
  const shown = touchdownShown(flight, softest, study);
  if (shown === null) return braking;
  return [
    ...braking,
    ...(shown === 'flown' ? touchdownFindings(flight, seen, study) : touchdownFindings(softest.command.flight, softest.seen, study)),
  ];
}

/** How it stands is judged on the flight as flown where that is soft, or else on the one lit where that is softest. */
function touchdownShown(flight: NominalFlight, softest: Softest | null, study: Study): 'flown' | 'softest' | null {
  if (flight.out('sink') <= heldLimits(study).sink) return 'flown';
  return softest !== null && softest.command.flight.out('sink') <= heldLimits(study).sink ? 'softest' : null;
}
