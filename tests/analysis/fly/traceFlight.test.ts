/** A flight traced: what its list of events says happened once happened once, however often the computer stalls. */
import { expect, test } from 'vitest';
import { traceFlight } from '../../../src/analysis/fly/traceFlight.ts';
import { demoWith } from '../../helpers/everyCommand.ts';

test('legs are released once, also where ticks after it fall into a stall', async () => {
  const { study } = await demoWith('computer.rate=100 Hz', 'timing.stallRate=20', 'timing.stallDuration=10 ms');
  for (const flight of [5, 6, 20]) {
    const { trace } = traceFlight(study, flight, undefined);
    const column = (key: string): Float64Array => trace.data[trace.columns.findIndex((one) => one.key === key)] as Float64Array;
    const released = trace.events.filter(({ what }) => what === 'legs released');
    expect(released).toHaveLength(1);
    // The computer ran on that tick, and did not on the next.
    const tick = column('time').indexOf(released[0]?.time as number);
    expect([column('stalled')[tick], column('stalled')[tick + 1]]).toEqual([0, 1]);
  }
});
