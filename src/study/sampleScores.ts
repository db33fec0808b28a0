/** Scores of what was learnt, out of the text that a study keeps them in. Apart from the reader, which no thread needs. */
import type { StandingSample } from './study.ts';

/** Particle by particle, a score a part. */
export function sampleScores({ scores }: StandingSample): Float32Array {
  const bytes = Buffer.from(scores, 'base64');
  return Float32Array.from({ length: Math.floor(bytes.length / 4) }, (_, i) => bytes.readFloatLE(4 * i));
}
