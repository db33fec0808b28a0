/** What a logbook taught, as text for a terminal. Computes nothing. */
import type { Learning } from '../analysis/learn/learning.ts';
import { learnedParts } from '../report/learningWords.ts';
import { heading, table } from './terminal.ts';

export function learnText(learning: Learning): string[] {
  return learnedParts(learning, (key) => key).flatMap(({ heading: head, columns, rows, lines }, i) => {
    const left = columns.flatMap(({ align }, c) => (align === 'left' ? [c] : []));
    return [
      ...(i === 0 ? [] : ['']),
      heading(head),
      ...(rows.length === 0
        ? []
        : [
            table(
              columns.map((column) => column.head),
              rows,
              left,
            ),
          ]),
      ...lines.map((line) => `  ${line}`),
    ];
  });
}
