/** One flight again, in full: the numbered one or an attempt bit for bit, or the nominal one. Writes no file. */
import { UserError } from '../../errors.ts';
import { type CampaignVariation, courseOf, needsRebuild, programOf } from '../../flight/campaignMaker.ts';
import { runCampaign } from '../../flight/campaignRun.ts';
import { LogRecorder } from '../../flight/computerLog.ts';
import { chosenRule, flightParameters, type Variation } from '../../flight/flightMaker.ts';
import { FlightLoop } from '../../flight/loop.ts';
import { LANDED } from '../../flight/outcome.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../flight/outputs.ts';
import { KEEP, type Policy } from '../../flight/policy.ts';
import { FlightRecord, writeRecord } from '../../flight/record.ts';
import { onboardModel } from '../../flight/setup.ts';
import { type FlightTrace, TraceRecorder } from '../../flight/trace.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import { makeCampaignSampler } from '../../sampling/campaignSampler.ts';
import { makeSampler } from '../../sampling/sampler.ts';
import { nominalInputs } from '../../study/nominal.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { RuleChoice, Study } from '../../study/study.ts';
import { correctionOf } from '../shift/correction.ts';
import { findShiftConstant } from '../shift/heightShift.ts';

export interface TracedFlight {
  readonly rule: string;
  /** Its number, `campaign:attempt`, or null for the nominal flight. */
  readonly flight: number | string | null;
  /**
   * Every input and output by key, SI; null for what did not happen, true and false for yes/no, words for the outcome.
   */
  readonly inputs: Readonly<Record<string, number | boolean>>;
  readonly outputs: Readonly<Record<string, number | string | boolean | null>>;
  readonly trace: FlightTrace;
  /** What the flight computer would have logged: columns of LOG_COLUMNS, a row a tick. */
  readonly log: readonly Float64Array[];
}

/** An attempt of a campaign, both from 1. */
export interface AttemptNumber {
  readonly campaign: number;
  readonly attempt: number;
  /** What was changed after a miss; the program stays as it is when left out. */
  readonly policy?: Policy;
}

/**
 * @param which a flight number of the study, an attempt, or 'nominal': every input at its nominal value, noise, gusts
 * and stalls off
 * @throws UserError for a number outside the study's flights or attempts, or an unknown rule
 */
export function traceFlight(study: Study, which: number | AttemptNumber | 'nominal', rule?: string): TracedFlight {
  const choice = ruleByName(study, rule);
  const { name } = choice;
  if (typeof which === 'object') return traceAttempt(study, which, choice);
  if (which !== 'nominal' && which > study.flights) {
    throw new UserError(`flight ${which}: the study has flights 1 to ${study.flights}; --set flights=${which} makes it larger`);
  }
  const variation: Variation = { rule: name, plan: { kind: 'study', flights: study.flights } };
  const sampler = makeSampler(study, variation.plan);
  const inputs = nominalInputs(study);
  if (which !== 'nominal') sampler.draw(which, inputs);
  return traced(study, variation, which === 'nominal' ? null : which, inputs, which === 'nominal' ? null : sampler.noiseKey(which));
}

/** Flies the attempts before it too: they decide which airframe this attempt has, and what was programmed for it. */
function traceAttempt(study: Study, { campaign, attempt, policy = KEEP }: AttemptNumber, rule: RuleChoice): TracedFlight {
  const most = study.campaign.attempts;
  if (attempt > most) {
    throw new UserError(
      `attempt ${campaign}:${attempt}: a campaign has attempts 1 to ${most}; --set campaign.attempts=${attempt} makes it longer`,
    );
  }
  const correction = correctionOf(rule, findShiftConstant(rule, onboardModel(study)), policy);
  const campaigns: CampaignVariation = { rule: rule.name, flyAll: true, ...(correction === null ? {} : { correction }) };
  const variationOf = (shift: number): Variation => ({
    rule: rule.name,
    constants: programOf(study, campaigns)(shift),
    plan: { kind: 'study', flights: study.flights },
  });
  const sampler = makeCampaignSampler(study);
  const inputs = nominalInputs(study);
  const loop = new FlightLoop();
  const record = new FlightRecord();
  let last = variationOf(0);
  const course = { ...courseOf(study, campaigns), plan: { ...study.campaign, attempts: attempt } };
  runCampaign(course, campaign, {
    fly: (occasion, shift) => {
      sampler.draw(occasion, inputs);
      last = variationOf(shift);
      const parameters = flightParameters(study, chosenRule(study, last), inputs, sampler.noiseKey(campaign, occasion.attempt));
      loop.fly(parameters, null);
      writeRecord(record, loop, parameters);
      const { outcome, sink, heightMiss } = record;
      return { landed: outcome === LANDED, broken: needsRebuild(study.campaign, outcome, sink), heightMiss };
    },
    misreading: (before) => sampler.misreading(campaign, before),
    seen: () => undefined,
  });
  return traced(study, last, `${campaign}:${attempt}`, inputs, sampler.noiseKey(campaign, attempt));
}

function traced(
  study: Study,
  variation: Variation,
  flight: TracedFlight['flight'],
  inputs: Float64Array,
  noiseKey: string | null,
): TracedFlight {
  const parameters = flightParameters(study, chosenRule(study, variation), inputs, noiseKey);
  const recorder = new TraceRecorder();
  const loop = new FlightLoop();
  const log = new LogRecorder();
  loop.fly(parameters, {
    tick: (flown, setup) => {
      recorder.tick(flown, setup);
      log.tick(flown, setup);
    },
    contact: (flown) => recorder.contact(flown),
  });
  const record = new FlightRecord();
  writeRecord(record, loop, parameters);
  return {
    rule: variation.rule,
    flight,
    inputs: Object.fromEntries(CATALOGUE.map((r, i) => [r.key, r.type === 'yesNo' ? inputs[i] === 1 : inputs[i]])),
    outputs: Object.fromEntries(OUTPUTS.map((r) => [r.key, outputValue(r.type, record[r.key])])),
    trace: recorder.finish(loop, parameters),
    log: log.data(),
  };
}

function outputValue(type: (typeof OUTPUTS)[number]['type'], value: number): number | string | boolean | null {
  if (type === 'outcome') return OUTCOMES[value];
  if (type === 'reason') return NO_RESULT_REASONS[value];
  if (type === 'yesNo') return value === 1;
  return Number.isNaN(value) ? null : value;
}

/** Inputs that the flight computer itself works with. */
const OF_THE_COMPUTER: readonly InputKey[] = [
  'alignment.y',
  'alignment.z',
  'timing.transitionGap',
  'detection.liftoffThreshold',
  'detection.burnoutThreshold',
  'legs.releaseTime',
  'legs.releaseHeight',
];

/** Those of them that were drawn otherwise than on a nominal flight, SI. */
export function computerInputs(study: Study, { inputs }: TracedFlight): [InputKey, number][] {
  const nominal = nominalInputs(study);
  return OF_THE_COMPUTER.flatMap((key): [InputKey, number][] => {
    const value = inputs[key];
    return typeof value === 'number' && value !== nominal[inputIndex(key)] ? [[key, value]] : [];
  });
}
