/**
 * Where does a rule win? Success share of each rule, and its difference to the first rule, in bins of one varying
 * input. Says how success goes with the input as the study draws it, not what the input alone does: correlated inputs
 * move along.
 */
import { UserError } from '../../errors.ts';
import { CATALOGUE, INPUT_INDEX, type InputKey, inputIndex, isInputKey } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { suggestion } from '../../maths/nearest.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { type Difference, pairedDifference } from '../../statistics/proportions/paired.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { partitionOf } from '../../statistics/samples/partition.ts';
import type { Study } from '../../study/study.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';
import { pairOff, pairsIn } from './rulePair.ts';

const MOST_BINS = 10;
/**
 * Flights of a bin at least, where the flights allow it: with fewer an interval says little. Common practice, no
 * source.
 */
const LEAST_FLIGHTS = 30;
/** Names offered at most in a complaint. */
const OFFERED = 6;

/** One rule's flights in one bin. Intervals hold each for itself. */
export interface AcrossShare {
  readonly rule: string;
  readonly noResult: number;
  readonly counted: number;
  readonly landed: number;
  /** landed/counted with Clopper and Pearson's interval; null when no flight here has a result. */
  readonly share: number | null;
  readonly interval: Interval | null;
  /** This rule minus the first, with its paired interval; null for the first, or without a pair that has results. */
  readonly toFirst: Difference | null;
}

export interface AcrossBin {
  /** Least and greatest value of the input among the flights here, SI. */
  readonly low: number;
  readonly high: number;
  readonly flights: number;
  readonly rules: readonly AcrossShare[];
}

export interface Across {
  readonly input: string;
  readonly unit: string;
  readonly meaning: string;
  readonly yesNo: boolean;
  readonly level: number;
  /** About equally many flights each, ascending; equal values are never parted. */
  readonly bins: readonly AcrossBin[];
}

/** The inputs asked for, each once. @throws UserError with a line for each that is unknown or does not vary. */
export function checkAcross(study: Study, keys: readonly string[]): readonly InputKey[] {
  const varying = varyingInputs(study).map((column) => CATALOGUE[column].key);
  const problems: string[] = [];
  const found = new Set<InputKey>();
  for (const key of keys) {
    if (!isInputKey(key)) {
      const known = suggestion(key, INPUT_INDEX.keys());
      problems.push(`--across: read "${key}"; expected an input (alight inputs lists them).${known}`);
      continue;
    }
    if (varying.includes(key)) {
      found.add(key);
      continue;
    }
    const { group } = CATALOGUE[inputIndex(key)];
    const family = key.slice(0, key.indexOf('.') + 1);
    const near = varying.filter((k) => k.startsWith(family) || CATALOGUE[inputIndex(k)].group === group);
    const offered = near.length > 0 ? near : varying;
    const names = offered.length === 0 ? 'no input does' : `nearest that do: ${offered.slice(0, OFFERED).join(', ')}`;
    problems.push(`--across: ${key} does not vary in this study; ${names}`);
  }
  if (problems.length > 0) throw new UserError(problems);
  return [...found];
}

/**
 * @param key an input   @param values of it, a flight each, at least one
 * @param rules outcome of the same flights by each rule, at least as many
 */
export function across(
  key: InputKey,
  values: Float64Array,
  rules: readonly { readonly rule: string; readonly outcome: Uint8Array }[],
): Across {
  const row = CATALOGUE[inputIndex(key)];
  // No and yes are two bins however few the flights; partitionOf() joins them only where one is next to empty.
  const wanted = Math.min(MOST_BINS, Math.max(row.type === 'yesNo' ? 2 : 1, Math.floor(values.length / LEAST_FLIGHTS)));
  const { classOf, count } = partitionOf(values, wanted);
  const members = Array.from({ length: count }, (): number[] => []);
  classOf.forEach((bin, flight) => {
    members[bin].push(flight);
  });
  const bins = members.map((flights): AcrossBin => {
    const here = rules.map(({ rule, outcome }) => ({ rule, outcome: Uint8Array.from(flights, (flight) => outcome[flight]) }));
    return {
      low: flights.reduce((least, flight) => Math.min(least, values[flight]), Number.POSITIVE_INFINITY),
      high: flights.reduce((most, flight) => Math.max(most, values[flight]), Number.NEGATIVE_INFINITY),
      flights: flights.length,
      rules: here.map(({ rule, outcome }, i) => ({
        rule,
        ...shareOf(outcome),
        toFirst: i === 0 ? null : difference(outcome, here[0].outcome),
      })),
    };
  });
  return { input: key, unit: row.unit, meaning: row.meaning, yesNo: row.type === 'yesNo', level: LEVEL, bins };
}

function shareOf(outcome: Uint8Array): Omit<AcrossShare, 'rule' | 'toFirst'> {
  const countOf = (index: number): number => outcome.reduce((sum, o) => (o === index ? sum + 1 : sum), 0);
  const noResult = countOf(outcomeIndex('no result'));
  const landed = countOf(outcomeIndex('landed'));
  const counted = outcome.length - noResult;
  const any = counted > 0;
  return {
    noResult,
    counted,
    landed,
    share: any ? landed / counted : null,
    interval: any ? clopperPearson(landed, counted, LEVEL) : null,
  };
}

function difference(rule: Uint8Array, first: Uint8Array): Difference | null {
  const { counts } = pairOff(rule, first, rule.length);
  return pairsIn(counts) === 0 ? null : pairedDifference(counts, LEVEL);
}
