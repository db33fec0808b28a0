/** The known name nearest to a mistyped one. Knows nothing of studies. */

/**
 * Edits (insert, delete, replace, swap of neighbours) that turn one word into the other, upper and lower case alike.
 */
function distance(a: string, b: string): number {
  const s = a.toLowerCase();
  const t = b.toLowerCase();
  let before: number[] = [];
  let last = Array.from({ length: t.length + 1 }, (_, j) => j);
  for (let i = 1; i <= s.length; i++) {
    const row = [i];
    for (let j = 1; j <= t.length; j++) {
      const same = s[i - 1] === t[j - 1] ? 0 : 1;
      let least = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + same);
      if (i > 1 && j > 1 && s[i - 1] === t[j - 2] && s[i - 2] === t[j - 1]) least = Math.min(least, before[j - 2] + 1);
      row.push(least);
    }
    before = last;
    last = row;
  }
  return last[t.length];
}

/** Letters of a word at most: no name is that long, and comparing takes their product. */
const LONGEST = 100;

/**
 * @returns the nearest of the names, or undefined when none is near: more than a third of the letters (at least 2)
 * differ.
 */
export function nearest(word: string, names: Iterable<string>): string | undefined {
  if (word.length > LONGEST) return undefined;
  let found: string | undefined;
  let least = Math.max(2, Math.floor(word.length / 3)) + 1;
  for (const name of names) {
    const d = distance(word, name);
    if (d < least) {
      least = d;
      found = name;
    }
  }
  return found;
}

/** ` Did you mean "x"?`, or nothing. */
export function suggestion(word: string, names: Iterable<string>): string {
  const name = nearest(word, names);
  return name === undefined ? '' : ` Did you mean "${name}"?`;
}
