/**
 * Ways to spoil a file: by bytes, whatever it is; by its grammar, so that the spoilt one still parses and reaches what
 * lies behind the parser. Every choice comes from the random function given, so that a case comes back from its number.
 */
import { crc32 } from 'node:zlib';
import { parse, stringify } from 'yaml';
import { JOURNAL_MARK } from '../../dist/results/mark.js';
import { LABEL_BYTES, readLabel, writeLabel } from '../../dist/results/sections.js';

const whole = (random, n) => Math.floor(random() * n);
export const oneOf = (random, list) => list[whole(random, list.length)];

/** Values that programs stumble over. */
const ODD = [
  null,
  '',
  ' ',
  0,
  -0,
  -1,
  1e-320,
  1e308,
  -1e308,
  2 ** 53,
  Number.NaN,
  Number.POSITIVE_INFINITY,
  true,
  [],
  {},
  [[]],
  [null],
  '__proto__',
  'constructor',
  '5 m',
  '5 kg s/m',
  '1e999 m',
  '-3 degC',
  'NaN',
  '../../../../etc/passwd',
  '/dev/zero',
  '\u0000',
  '\u2028',
  '\ud800',
  'a'.repeat(70000),
  { normal: { mean: 0, sd: -1 } },
  { uniform: [1, 0] },
  { measured: { file: 'nothing.csv' } },
];

/** Bytes of the head of a journal's section and of some units' numbers of rows (results/journal.ts), and numbers that stand there badly. */
const HEAD = 64 + 4 * 8;
const NUMBERS = [0, -1, 0.5, 1e6, 2 ** 31, 2 ** 32, 2 ** 53, 1e308, Number.NaN, Number.POSITIVE_INFINITY];

/** Some bytes changed, cut, doubled, moved or set in. */
export function spoiltBytes(bytes, random) {
  let out = Buffer.from(bytes);
  for (let times = 1 + whole(random, 4); times > 0; times--) {
    const place = whole(random, out.length + 1);
    const length = 1 + whole(random, oneOf(random, [1, 4, 64, 4096]));
    const way = whole(random, 6);
    if (way === 0 && out.length > 0) out[Math.min(place, out.length - 1)] = whole(random, 256);
    else if (way === 1) out = Buffer.concat([out.subarray(0, place), out.subarray(place + length)]);
    else if (way === 2) out = Buffer.concat([out.subarray(0, place), out.subarray(Math.max(0, place - length))]);
    else if (way === 3)
      out = Buffer.concat([
        out.subarray(0, place),
        Buffer.from(Array.from({ length: length % 64 }, () => whole(random, 256))),
        out.subarray(place),
      ]);
    else if (way === 4) out = out.subarray(0, place);
    else if (place < out.length)
      out.fill(oneOf(random, [0, 0xff, 0x7f, 0x80, 0x2d, 0x0a, 0x22]), place, Math.min(out.length, place + length));
  }
  return out;
}

/** Characters that mean something in the text changed for others that do. */
export function spoiltText(text, random) {
  const tokens = text.split(/(\s+|[:,;[\]{}"'#|>&*!%@`-])/);
  for (let times = 1 + whole(random, 6); times > 0; times--) {
    const place = whole(random, tokens.length);
    const other = oneOf(random, tokens);
    const odd = oneOf(random, [
      ':',
      '-',
      '[',
      '{',
      '"',
      '&a ',
      '*a',
      '<<: ',
      '!!binary ',
      '\t',
      '\r',
      '\uFEFF',
      '%',
      '? ',
      '|',
      '>',
      '1_000',
      '0x1F',
      '1e5',
      ',,',
      ';',
      '1,5',
    ]);
    tokens[place] = oneOf(random, [other, odd, '', tokens[place] + tokens[place], String(oneOf(random, ODD))]);
  }
  return tokens.join('');
}

/** Every place in a tree: its holder and its key. */
function places(tree) {
  const found = [];
  const walk = (holder) => {
    for (const key of Object.keys(holder)) {
      found.push([holder, key]);
      const value = holder[key];
      if (value !== null && typeof value === 'object') walk(value);
    }
  };
  if (tree !== null && typeof tree === 'object') walk(tree);
  return found;
}

/** A tree with some of its values, keys or branches changed. Changes what it is given. */
export function spoiltTree(tree, random) {
  for (let times = random() < 0.6 ? 1 : 2; times > 0; times--) {
    const all = places(tree);
    if (all.length === 0) return tree;
    const [holder, key] = oneOf(random, all);
    const [other, otherKey] = oneOf(random, all);
    const way = whole(random, 6);
    if (way === 0) delete holder[key];
    else if (way === 1) holder[key] = structuredClone(other[otherKey]);
    else if (way === 2 && !Array.isArray(holder)) holder[`${key}${oneOf(random, ['x', '.', ' ', '\u00b5'])}`] = holder[key];
    else if (way === 3 && typeof holder[key] === 'number') holder[key] *= oneOf(random, [-1, 0, 1e-9, 1e9, 1e300]);
    else if (way === 4 && typeof holder[key] === 'string') holder[key] = holder[key].replace(/[\d.]+/, String(oneOf(random, ODD)));
    else holder[key] = structuredClone(oneOf(random, ODD));
  }
  return tree;
}

/** A study or any other YAML text. */
export function spoiltYaml(text, random) {
  const way = random();
  if (way < 0.6) return Buffer.from(stringify(spoiltTree(parse(text), random), { aliasDuplicateObjects: false }));
  return way < 0.85 ? Buffer.from(spoiltText(text, random)) : spoiltBytes(Buffer.from(text), random);
}

/** Answers in JSON. */
export function spoiltJson(text, random) {
  const way = random();
  if (way < 0.7) return Buffer.from(JSON.stringify(spoiltTree(JSON.parse(text), random)));
  return way < 0.85 ? Buffer.from(spoiltText(text, random)) : spoiltBytes(Buffer.from(text), random);
}

/** Rows and columns of a comma-separated table. */
export function spoiltTable(text, random) {
  if (random() < 0.3) return spoiltBytes(Buffer.from(text), random);
  if (random() < 0.3) return Buffer.from(spoiltText(text, random));
  const rows = text.split('\n').map((line) => line.split(','));
  for (let times = 1 + whole(random, 4); times > 0; times--) {
    const row = oneOf(random, rows);
    const place = whole(random, row.length);
    const way = whole(random, 6);
    if (way === 0) row[place] = String(oneOf(random, [...ODD, '1e5', '1 2', '"', '"1"', '0x10', '1.2.3', '-']));
    else if (way === 1) row.splice(place, 1);
    else if (way === 2) row.splice(place, 0, row[place] ?? '');
    else if (way === 3) rows.splice(whole(random, rows.length), 0, [...row]);
    else if (way === 4) rows.splice(whole(random, rows.length), 1, rows[0]);
    else rows.reverse();
    if (rows.length === 0) return Buffer.alloc(0);
  }
  const separator = oneOf(random, [',', ',', ';', '\t', '|']);
  return Buffer.from(rows.map((row) => row.join(separator)).join(oneOf(random, ['\n', '\n', '\r\n', '\r'])));
}

/** Where sections stand behind labels, from here on: each label's place, and what it says. */
function labelsFrom(bytes, first) {
  const labels = [];
  for (let place = first; place + LABEL_BYTES <= bytes.length; ) {
    const label = readLabel(bytes.subarray(place, place + LABEL_BYTES));
    if (label === null || label.kind === 'end') break;
    labels.push([place, label]);
    place += LABEL_BYTES + label.length;
  }
  return labels;
}

/**
 * A journal with bytes changed in the heads of its sections or in what it says was asked, the checksums put right. What
 * a forger writes as rows is taken as rows.
 */
export function forgedJournal(bytes, random) {
  const out = Buffer.from(bytes);
  for (let times = 1 + whole(random, 3); times > 0; times--) {
    const labels = labelsFrom(out, JOURNAL_MARK.length);
    // Nothing but the mark is left when the first section was cut off.
    if (labels.length === 0) break;
    const [place, label] = oneOf(random, labels);
    const section = out.subarray(place + LABEL_BYTES, place + LABEL_BYTES + label.length);
    const head = section.subarray(0, place === labels[0][0] ? section.length : HEAD);
    if (head.length >= 8 && random() < 0.3) head.writeDoubleLE(oneOf(random, NUMBERS), 8 * whole(random, Math.floor(head.length / 8)));
    else head[whole(random, head.length)] = oneOf(random, [0, 1, 0x22, 0x7f, 0x80, 0xff, whole(random, 256)]);
    const rows = random() < 0.2 ? oneOf(random, [0, 1, 2 ** 31, 2 ** 32 - 1]) : label.rows;
    // A section cut short, with a label that says so.
    const length = random() < 0.2 ? whole(random, label.length) : label.length;
    writeLabel(out.subarray(place, place + LABEL_BYTES), { ...label, rows, length, sum: crc32(section.subarray(0, length)) });
  }
  return out;
}

/**
 * A flights file: bytes anywhere, or bytes inside one section whose checksum is then put right, as a forger would: among
 * its values, or anywhere in it, its tables included.
 */
export function spoiltFlights(bytes, random) {
  if (random() < 0.4) return spoiltBytes(bytes, random);
  const out = Buffer.from(bytes);
  const [place, label] = oneOf(random, labelsFrom(out, 8));
  const section = out.subarray(place + LABEL_BYTES, place + LABEL_BYTES + label.length);
  const from = oneOf(random, [0, Math.floor(section.length / 2)]);
  for (let times = 1 + whole(random, 8); times > 0; times--) {
    section[from + whole(random, section.length - from)] = oneOf(random, [0, 1, 0x7f, 0x80, 0xff, whole(random, 256)]);
  }
  const rows = random() < 0.1 ? oneOf(random, [0, 1, 2 ** 31, 2 ** 32 - 1]) : label.rows;
  writeLabel(out.subarray(place, place + LABEL_BYTES), { ...label, rows, sum: crc32(section) });
  return out;
}
