/** The command that flies a flight again, as a person types it. */

/** Quotes for a shell where a name needs them. */
export function shellWord(text: string): string {
  return /^[\w./:@%+-]+$/.test(text) ? text : `'${text.replaceAll("'", "'\\''")}'`;
}

export function traceCommand(studyPath: string, flight: number, rule: string): string {
  return `alight trace ${shellWord(studyPath)} ${flight} --rule ${shellWord(rule)}`;
}
