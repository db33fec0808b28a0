/**
 * One rule's flights out of a flights file, with the columns that page, card and ranking need. Asks nothing of them.
 */
import { UserError } from '../../errors.ts';
import { NO_RESULT_REASONS, type NoResultReason } from '../../flight/outputs.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import type { ReadHeader } from '../../results/header.ts';
import { openFlights } from '../../results/reader.ts';
import { studyFolder } from '../../study/files.ts';
import { readStudy } from '../../study/load.ts';
import { ruleByName } from '../../study/ruleByName.ts';
import type { FlightColumns } from '../flights/flightColumns.ts';

/** Outputs read of every flight, beside the varying inputs. */
const OUTPUT_KEYS = [
  'sink',
  'slide',
  'tilt',
  'landingEast',
  'landingNorth',
  'landingDistance',
  'apogee',
  'believedApogee',
  'ignitionHeight',
  'believedIgnitionHeight',
  'ignitionHeightError',
  'ignitionSpeed',
  'peakFootForce',
  'greatestLean',
  'slidPath',
  'rebounds',
] as const;

/** Flights as they stand in a file, nothing asked of them yet. */
export interface RawFlights {
  readonly header: ReadHeader;
  readonly rule: string;
  readonly flights: FlightColumns;
  /** Why flights have no result, with how many; reasons that did not occur are left out. */
  readonly reasons: readonly { readonly reason: NoResultReason; readonly count: number }[];
  /** Flights of each rule, in the header's order. */
  readonly counts: readonly number[];
  /** One line when the file's end is missing. */
  readonly cut: readonly string[];
}

/** @throws UserError for a rule that was not flown, or a file that is damaged or of another version */
export async function readFlights(path: string, wanted: string | undefined): Promise<RawFlights> {
  const file = await openFlights(path);
  try {
    const { header } = file;
    const { study } = await openText(header.study, path);
    if (wanted !== undefined && !header.rules.includes(wanted)) {
      throw new UserError(`--rule: read "${wanted}"; expected a rule flown here: ${header.rules.join(', ')}`);
    }
    const rule = ruleByName(study, wanted ?? header.rules[0]).name;
    const keys = [...varyingInputs(study).map((c) => CATALOGUE[c].key), ...OUTPUT_KEYS];
    const place = header.rules.indexOf(rule);
    const rules = file.rules();
    const counts = header.rules.map(() => 0);
    for (const r of rules) counts[r]++;
    // One rule alone has all rows: nothing to pick.
    const alone = counts[place] === rules.length;
    const rows = alone ? new Uint32Array(0) : Uint32Array.from({ length: rules.length }, (_, i) => i).filter((i) => rules[i] === place);
    const pick = (values: Float64Array): Float64Array => (alone ? values : Float64Array.from(rows, (i) => values[i]));
    const outcomes = file.outcomes();
    const flights: FlightColumns = {
      outcome: alone ? outcomes : Uint8Array.from(rows, (i) => outcomes[i]),
      number: pick(file.number('flight')),
      columns: file.later(keys, pick),
    };
    const why = pick(Float64Array.from(file.reasons()));
    const reasons = NO_RESULT_REASONS.map((reason, i) => ({ reason, count: why.reduce((sum, r) => (r === i ? sum + 1 : sum), 0) }));
    const cut = file.whole ? [] : [cutLine(path, header, flights.outcome.length)];
    return { header, rule, counts, cut, flights, reasons: reasons.filter(({ reason, count }) => reason !== '' && count > 0) };
  } finally {
    await file.close();
  }
}

/** What to know of flights whose file has no end. */
function cutLine(path: string, { flightsAsked }: ReadHeader, flights: number): string {
  return `${path}: an unfinished run left it, or it was cut short: everything here is about its first ${flights} flights, of ${flightsAsked} asked for.`;
}

/** The study written in a results file. @throws UserError when this version of the program cannot read it */
export function openText(text: string, name: string): ReturnType<typeof readStudy> {
  return readStudy(text, name, studyFolder(name, false));
}
