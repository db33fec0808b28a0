/**
 * A worker that makes rows by arithmetic and misbehaves on the flights it is told to, in place of the one that flies.
 * What it is told comes as the rule constants of the variation: `<misdeed>: flight number`.
 */
import { UserError } from '../../dist/errors.js';
import { serve } from '../../dist/fleet/serve.js';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../../dist/flight/outputs.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';

const ROW_LENGTH = CATALOGUE.length + OUTPUTS.length;
/** Waited on, a thread is as busy as in a loop, for as long as it likes, and burns no core. */
const NEVER = new Int32Array(new SharedArrayBuffer(4));
let thrownOnce = false;
let kits = 0;

/** A number in (-1, 1) that tells flight and column apart. */
const mix = (flight, column) => Math.sin(flight * 12.9898 + column * 78.233);

function fill(flight, row) {
  CATALOGUE.forEach((input, c) => {
    row[c] = input.type === 'yesNo' ? Number(mix(flight, c) > 0.5) : mix(flight, c);
  });
  OUTPUTS.forEach((output, i) => {
    const c = CATALOGUE.length + i;
    const x = mix(flight, c);
    if (output.type === 'outcome') row[c] = flight % OUTCOMES.length;
    else if (output.type === 'reason') row[c] = flight % OUTCOMES.length === 0 ? 1 + (flight % (NO_RESULT_REASONS.length - 1)) : 0;
    else if (output.type === 'yesNo') row[c] = Number(x > 0);
    else if (x < -0.7)
      return; // stays NaN: did not happen
    else row[c] = output.type === 'count' ? Math.round(10 * (x + 1)) : x;
  });
}

const flights = (study, variation) => {
  const told = variation.constants ?? {};
  if (told.cannotPrepare === 1) throw new UserError(['rules.late: no such rule', 'second line']);
  if (told.cannotPrepare === 2) throw new TypeError('a fault of ours');
  const kit = ++kits;
  return {
    rowLength: ROW_LENGTH,
    mostRows: 1,
    work(flight, row) {
      const busy = (told.slow ?? 0) + (told.uneven ? 4 * Math.abs(mix(flight, 999)) : 0);
      if (busy > 0) Atomics.wait(NEVER, 0, 0, busy);
      if (flight === told.throws || told.throwsAlways) throw new RangeError(`flight ${flight} went wrong`);
      if (flight === told.throwsOnce && !thrownOnce) {
        thrownOnce = true;
        throw new Error('only once');
      }
      if (flight === told.throwsNull) throw null;
      if (flight === told.exits) process.exit(3);
      if (flight === told.throwsLate) {
        queueMicrotask(() => {
          throw new Error('late');
        });
      }
      if (flight === told.hangs) Atomics.wait(NEVER, 0, 0);
      if (flight === told.spins) for (;;);
      if (flight === told.memory) {
        const hoard = [];
        for (;;) hoard.push(new Array(1e5).fill({}));
      }
      fill(flight, row);
      if (told.showKit) row[0] = kit;
      if (told.showStudy) row[0] = study.flights;
      return 1;
    },
  };
};

/** Units of 0 to 3 rows of two numbers: the unit, and which of its rows. */
const handfuls = (_study, { throws }) => ({
  rowLength: 2,
  mostRows: 3,
  work(unit, rows) {
    if (unit === throws) throw new RangeError(`unit ${unit} went wrong`);
    for (let r = 0; r < unit % 4; r++) rows.set([unit, r], 2 * r);
    return unit % 4;
  },
});

export default serve({ flights, handfuls });
