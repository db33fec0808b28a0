/**
 * The worker's side of a chunk: prepares the kit of a variation, flies the flights in order, hands the rows back without
 * copying. Knows no flight: what flies is passed in (worker.ts passes the real thing).
 */
import { move } from 'piscina';
import { UserError } from '../errors.ts';
import { type ChunkReply, type ChunkTask, PROGRESS, STOP, type Unprepared } from './task.ts';

/** Flies one flight: number c of its row goes to columns[place + c * stride]. Writes every number of the row. */
export interface Kit {
  fly(flight: number, columns: Float64Array, place: number, stride: number): void;
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
      kit.fly(first + i, columns, i, count);
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
