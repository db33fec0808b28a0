/**
 * Foreign text made fit for a terminal and for one line: what a file says must not move a cursor, ring, recolour or
 * reorder. Knows no file.
 */

/** Control characters (C0, DEL, C1), line and paragraph separators, and the marks that reorder or hide text. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff]/g;

/** @returns the text with each such character written as its code, `\u001b`; anything else as it is */
export function printable(text: string): string {
  return text.replace(UNPRINTABLE, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);
}
