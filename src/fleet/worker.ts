/**
 * The worker's entry, and the only file here that knows the flight: which kinds of work there are, and what does them.
 */
import { makeKit, ROW_LENGTH, type Variation } from '../flight/flightMaker.ts';
import type { Study } from '../study/study.ts';
import { serve } from './serve.ts';

export default serve({
  flights: (study, variation) => {
    const kit = makeKit(study as Study, variation as Variation);
    return {
      rowLength: ROW_LENGTH,
      mostRows: 1,
      work: (flight, row) => {
        kit.fly(flight, row);
        return 1;
      },
    };
  },
});
