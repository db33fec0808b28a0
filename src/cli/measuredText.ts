/** What every measurement prints about its numbers: the sentence first, how it was found and the lines to paste last. */
import type { Measurement } from '../analysis/measure/measurement.ts';
import { printable } from '../printable.ts';
import { CAUTIONS } from '../report/cautions.ts';
import { heading } from './terminal.ts';

/** @param numbers the lines between */
export function measuredText({ finding, how, block }: Measurement, numbers: readonly string[]): string {
  return [
    printable(finding),
    '',
    ...numbers,
    '',
    heading('How it was found'),
    ...how.map((line) => `  ${printable(line)}`),
    '',
    heading('To paste into the study'),
    '',
    ...block.map(printable),
    '',
    ...CAUTIONS,
  ].join('\n');
}
