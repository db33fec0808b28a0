/** Names with `*` for any run of characters: `gyro.bias*` stands for the three axes. */

/** @returns whether a key fits; a pattern without `*` fits itself only. */
export function matcher(pattern: string): (key: string) => boolean {
  const [head = '', ...others] = pattern.split('*');
  const tail = others.pop();
  if (tail === undefined) return (key) => key === pattern;
  return (key) => {
    if (key.length < head.length + tail.length || !key.startsWith(head) || !key.endsWith(tail)) return false;
    let rest = key.slice(head.length, key.length - tail.length);
    for (const part of others) {
      const found = rest.indexOf(part);
      if (found < 0) return false;
      rest = rest.slice(found + part.length);
    }
    return true;
  };
}
