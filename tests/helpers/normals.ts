/** Standard normals for made-up recordings, from a key. */
import { normalQuantile } from '../../src/maths/normal.ts';
import { stream } from '../../src/maths/streams.ts';

export function makeNormalNoise(key: string): () => number {
  const uniform = stream(key);
  return () => normalQuantile(uniform());
}
