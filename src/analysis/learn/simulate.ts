/**
 * Flies the attempts of many particles at once and keeps of each flight what was asked for. Weighs nothing.
 */
import type { Session } from '../../fleet/session.ts';
import { givenFlightsOf } from '../../fleet/work.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';
import type { Study } from '../../study/study.ts';
import type { Setting } from '../logbook/logbook.ts';
import { inputsFrom, type Scores } from './scores.ts';

/** Flown values by attempt and column asked for, one number a particle; NaN where it did not happen. */
export type Flown = readonly (readonly Float64Array[])[];

/** Ctrl-C: nothing is learnt from half a sample. */
export class Interrupted extends Error {
  constructor() {
    super('interrupted');
    this.name = 'Interrupted';
  }
}

export class Simulator {
  readonly scores: Scores;
  readonly #study: Study;
  readonly #settings: readonly Setting[];
  readonly #fill: ReturnType<typeof inputsFrom>;

  /** @param pins of each setting; in place of its own where given */
  constructor(study: Study, scores: Scores, settings: readonly Setting[], pins?: readonly Readonly<Partial<Record<InputKey, number>>>[]) {
    this.scores = scores;
    this.#study = study;
    this.#settings = settings;
    this.#fill = inputsFrom(study, scores, pins ?? settings.map((setting) => setting.pins));
  }

  /**
   * @param scores particles x dimensions   @param luck particles x attempts
   * @param columns of a flight's row to keep, by attempt   @param noise stem of the noise keys
   * @param flown which attempts, ascending; all when left out. Nothing is kept of the others.
   * @throws Interrupted
   */
  async fly(
    session: Session,
    scores: Float64Array,
    luck: Float64Array,
    columns: readonly (readonly number[])[],
    noise: string,
    flown: readonly number[] = columns.map((_, a) => a),
  ): Promise<Flown> {
    const attempts = this.#settings.length;
    const particles = luck.length / attempts;
    const width = CATALOGUE.length;
    const inputs = sharedNumbers(particles * flown.length * width);
    const keys = sharedNumbers(particles * flown.length);
    for (const [place, a] of flown.entries()) {
      for (let i = 0; i < particles; i++) {
        const flight = place * particles + i;
        this.#fill(scores, i * this.scores.dimensions, a, inputs.subarray(flight * width, (flight + 1) * width));
        keys[flight] = luck[i * attempts + a];
      }
    }
    const settings = flown.map((a) => ({ rule: this.#settings[a].rule, constants: this.#settings[a].constants }));
    const asked = [...new Set(flown.flatMap((a) => columns[a]))];
    const places = columns.map((own) => own.map((column) => asked.indexOf(column)));
    const work = givenFlightsOf(this.#study, { settings, inputs, luck: keys, noise, columns: asked }, 'learning');
    const kept = columns.map((own, a) => own.map(() => new Float64Array(flown.includes(a) ? particles : 0)));
    const { stoppedBy } = await session.fly(work, {
      count: particles * flown.length,
      onBatch: ({ first, count, columns: rows }) => {
        for (let j = 0; j < count; j++) {
          const flight = first - 1 + j;
          const place = Math.floor(flight / particles);
          const a = flown[place];
          const own = places[a];
          for (let c = 0; c < own.length; c++) kept[a][c][flight - place * particles] = rows[own[c] * count + j];
        }
      },
    });
    if (stoppedBy === 'interrupted') throw new Interrupted();
    return kept;
  }
}

/** Seen by every thread without copying. */
function sharedNumbers(count: number): Float64Array {
  return new Float64Array(new SharedArrayBuffer(count * Float64Array.BYTES_PER_ELEMENT));
}
