/** What a run in parts is, and what passes between the files of this room. */
export type Engine = 'slurm' | 'kubernetes' | 'shell';

export interface JobPlan {
  readonly study: string;
  readonly parts: number;
  readonly engine: Engine;
  /** Command that flies, e.g. `fly`, and its options. */
  readonly command: string;
  readonly options: readonly string[];
  /** Folder of the job files, as it is seen where the parts fly; parts and results go into it too. */
  readonly folder: string;
  /** How the program is called where the parts fly; words of a shell. */
  readonly program: string;
  /** Threads of a part. */
  readonly cpus: number;
  /** Container image and volume claim, for engines that take one. */
  readonly image: string | null;
  readonly claim: string | null;
}

export interface JobFile {
  readonly name: string;
  readonly text: string;
  readonly executable: boolean;
}

/** What an engine is to do, as shell commands. */
export interface PartCommands {
  readonly plan: JobPlan;
  /** First lines of every file. */
  readonly head: string;
  /** Flies a part. @param part a number, or a shell's words for one   @param threads likewise */
  flyPart(part: string, threads: string): string;
  /** Joins all parts, where that is not done already. */
  readonly join: string;
}

/** One word of a shell, whatever is in it. */
export function quoted(word: string): string {
  return /^[\w@%+=:,./-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}
