/** Noise that draws what a test says. */
import { NormalNoise } from '../../src/maths/normalNoise.ts';

class ScriptedNoise extends NormalNoise {
  readonly #draw: () => number;

  constructor(draw: () => number) {
    super();
    this.#draw = draw;
  }

  override next(): number {
    return this.#draw();
  }
}

export const scriptedNoise = (draw: () => number): NormalNoise => new ScriptedNoise(draw);
