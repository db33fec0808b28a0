/**
 * The worker's side of a chunk: prepares the kit of a variation, flies the flights in order, hands the rows back without
 * copying. Knows no flight: what flies is passed in (worker.ts passes the real thing).
 */
import { move } from 'piscina';
import { UserError } from '../errors.ts';
import { type ChunkReply, type ChunkTask, PROGRESS, STOP, type Unprepared } from './task.ts';

/** Flies one flight into a row, which comes filled with NaN. */
export interface Kit {
  fly(flight: number, row: Float64Array): void;
}

/** Kits a worker keeps; a comparison or a search goes to and fro between a few. */
const KITS_KEPT = 8;

/**
 * The handler of chunks for one study.
 * @param makeKit prepares a variation; when it throws, nothing is flown and the reply says why
 * @param rowLength numbers in a row
 */
export function serve<V extends object>(makeKit: (variation: V) => Kit, rowLength: number): (task: ChunkTask) => ChunkReply {
  const kits = new Map<number, Kit>();
  const row = new Float64Array(rowLength);

  const kitOf = (task: ChunkTask): Kit => {
    const kit = kits.get(task.key) ?? makeKit(task.variation as V);
    // Taken out and put in again, so that the first in the map is the one longest unused.
    kits.delete(task.key);
    kits.set(task.key, kit);
    for (const oldest of kits.keys()) {
      if (kits.size <= KITS_KEPT) break;
      kits.delete(oldest);
    }
    return kit;
  };

  return (task) => {
    const { first, count, signals } = task;
    Atomics.store(signals, PROGRESS, 1);
    let kit: Kit;
    try {
      kit = kitOf(task);
    } catch (error) {
      return whyUnprepared(error);
    }
    Atomics.store(signals, PROGRESS, 2);
    const columns = new Float64Array(rowLength * count);
    for (let i = 0; i < count; i++) {
      if (Atomics.load(signals, STOP) === 1) return new Float64Array(0);
      row.fill(Number.NaN);
      kit.fly(first + i, row);
      for (let c = 0; c < rowLength; c++) columns[c * count + i] = row[c] as number;
      Atomics.add(signals, PROGRESS, 1);
    }
    // `move` marks the array for transfer; its declared type hides that the fleet receives the array itself.
    return move(columns) as unknown as Float64Array;
  };
}

function whyUnprepared(error: unknown): Unprepared {
  if (error instanceof UserError) return { unprepared: error.message, problems: error.problems };
  return { unprepared: error instanceof Error ? (error.stack ?? error.message) : String(error), problems: null };
}
