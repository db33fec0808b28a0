/** What build.mjs offers to tests. */
export interface Compiled {
  readonly binary: Uint8Array<ArrayBuffer>;
  /** Paths of the sources from the repository's root, sorted. */
  readonly files: readonly string[];
}
export function compile(entry?: string, flags?: readonly string[]): Promise<Compiled>;
