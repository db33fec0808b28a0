/** Types of packages.mjs. */
export const ACCEPTED: readonly string[];
export function packages(): readonly {
  readonly name: string;
  readonly version: string;
  readonly licence: string;
  readonly development: boolean;
  readonly scripts: boolean;
}[];
