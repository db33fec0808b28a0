/**
 * Prints what the compiled kernel makes of 20 flights of the demo, a line of bits each (sha256 of the row): the same on
 * every engine, machine and version, or something is wrong. Run by bits.test.ts, and by .ci/engines under other
 * versions of Node. Needs what `npm run build` makes.
 */
import { createHash } from 'node:crypto';
import { fileURLToPath } from 'node:url';
import { makeKit, ROW_LENGTH } from '../../../dist/flight/flightMaker.js';
import { builtKernel } from '../../../dist/flight/kernel/file.js';
import { openStudy } from '../../../dist/study/load.js';

const { study } = await openStudy(fileURLToPath(new URL('../../../studies/thistledown.yaml', import.meta.url)));
const kernel = builtKernel();
const row = new Float64Array(ROW_LENGTH);
for (let flight = 1; flight <= 20; flight++) {
  // Every rule of the study in turn.
  const rule = study.rules[flight % study.rules.length].name;
  makeKit(study, { rule, plan: { kind: 'study', flights: study.flights } }, kernel).fly(flight, row);
  // One NaN, whatever its bits: they are the one thing the standard leaves open.
  const bytes = new Uint8Array(row.map((x) => (Number.isNaN(x) ? Number.NaN : x)).buffer);
  console.log(createHash('sha256').update(bytes).digest('hex').slice(0, 16));
}
