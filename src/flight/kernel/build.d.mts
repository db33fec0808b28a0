/** What build.mjs offers to tests. */
export interface Compiled {
  readonly binary: Uint8Array<ArrayBuffer>;
  /** Empty unless the flags say `--textFile kernel.wat`. */
  readonly text: string;
  /** Paths of the sources from the repository's root, sorted. */
  readonly files: readonly string[];
}
export function compile(entry?: string, flags?: readonly string[]): Promise<Compiled>;
