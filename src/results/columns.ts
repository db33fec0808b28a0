/**
 * The columns of a flights file, derived from the two tables: who flew, the inputs in catalogue order, the outputs in
 * table order. Knows no file format (schema.ts).
 */
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS } from '../flight/outputs.ts';
import { CATALOGUE } from '../inputs/catalogue.ts';

export interface Column {
  readonly key: string;
  readonly kind: 'flight' | 'input' | 'output';
  /** 'label' columns hold one of `labels`; the rule's labels are the file's own. */
  readonly type: 'number' | 'count' | 'yesNo' | 'label';
  /** SI unit as printed; '' for a plain number. */
  readonly unit: string;
  readonly meaning: string;
  /** Ranking group of an input; '' otherwise. */
  readonly group: string;
  /** Whether a value may be missing: outputs that did not happen. */
  readonly nullable: boolean;
  readonly labels: readonly string[] | null;
  /** The value of a number that is the same in every row, stored once; null otherwise. */
  readonly constant: number | null;
}

/** Columns before the numbers of a row: the flight's number and the rule it flew. */
export const LEADING = 2;

/**
 * The columns of a file whose flights flew these rules.
 * @param constants inputs that are the same in every row, by key
 */
export function flightColumns(rules: readonly string[], constants: Readonly<Record<string, number>> = {}): Column[] {
  return [
    {
      key: 'flight',
      kind: 'flight',
      type: 'count',
      unit: '',
      meaning: 'number of the flight, from 1',
      group: '',
      nullable: false,
      labels: null,
      constant: null,
    },
    {
      key: 'rule',
      kind: 'flight',
      type: 'label',
      unit: '',
      meaning: 'ignition rule flown',
      group: '',
      nullable: false,
      labels: rules,
      constant: null,
    },
    ...CATALOGUE.map(
      (row): Column => ({
        key: row.key,
        kind: 'input',
        type: row.type,
        unit: row.unit,
        meaning: row.meaning,
        group: row.group,
        nullable: false,
        labels: null,
        constant: row.type === 'number' ? (constants[row.key] ?? null) : null,
      }),
    ),
    ...OUTPUTS.map((row): Column => {
      const labels = row.type === 'outcome' ? OUTCOMES : row.type === 'reason' ? NO_RESULT_REASONS : null;
      const type = row.type === 'outcome' || row.type === 'reason' ? 'label' : row.type;
      return {
        key: row.key,
        kind: 'output',
        type,
        unit: row.unit,
        meaning: row.meaning,
        group: '',
        nullable: labels === null,
        labels,
        constant: null,
      };
    }),
  ];
}
