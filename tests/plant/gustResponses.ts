/**
 * The gust filters as a linear map of their draws: their responses to one unit draw at a time. Sums of products over
 * the responses are the exact second moments of what random draws would give. A helper of the gust tests.
 */
import { GUST_STATE_SIZE, startGusts, stepGusts } from '../../src/plant/gusts.ts';
import { scriptedNoise } from '../helpers/scriptedNoise.ts';

export interface GustCircumstances {
  readonly height: number;
  readonly airspeed: number;
  readonly wind: number;
  readonly windAt20ft: number;
  readonly scale: number;
  readonly dt: number;
}

/** One response (u, v, w of each step in turn) to each draw of the start and of the first step. */
export function gustResponses(steps: number, c: GustCircumstances): Float64Array[] {
  return Array.from({ length: 10 }, (_, j) => {
    let draw = 0;
    const noise = scriptedNoise(() => (draw++ === j ? 1 : 0));
    const state = new Float64Array(GUST_STATE_SIZE);
    const out = new Float64Array(3);
    const response = new Float64Array(3 * steps);
    startGusts(state, noise);
    for (let i = 0; i < steps; i++) {
      stepGusts(state, c.height, c.airspeed, c.wind, c.windAt20ft, c.scale, c.dt, noise, out);
      response.set(out, 3 * i);
    }
    return response;
  });
}

/**
 * Sum over the responses of axis `a` at step `i` times axis `b` at step `k`. For `i` = 0 every draw before is counted:
 * an exact moment.
 */
export function secondMoment(responses: readonly Float64Array[], a: number, i: number, b: number, k: number): number {
  return responses.reduce((sum, r) => sum + Number(r[3 * i + a]) * Number(r[3 * k + b]), 0);
}
