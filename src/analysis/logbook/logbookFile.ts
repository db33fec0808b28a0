/**
 * What a logbook file may hold: every key with its meaning and default, from which reading, messages and the editor's
 * schema come. Observations are read in sight.ts, against a study in readLogbook.ts.
 */
import { z } from 'zod';
import { line, mapErrors, quantity, section, show } from '../../study/fields.ts';

const label = (meaning: string, example: string) =>
  z
    .unknown()
    .transform((raw, context): string => {
      if (typeof raw === 'number' && Number.isFinite(raw)) return String(raw);
      if (typeof raw === 'string' && raw.trim() !== '') return raw.trim();
      context.addIssue({ code: 'custom', message: `read ${show(raw)}; expected a name or a number. Write, for example, ${example}.` });
      return z.NEVER;
    })
    .meta({ type: ['string', 'number'], description: meaning, examples: [example] })
    .optional();

const values = (meaning: string, example: string) =>
  z
    .record(z.string(), z.unknown(), { error: mapErrors([example]) })
    .prefault({})
    .meta({ description: meaning });

const setting = {
  rule: line('name of one of the study’s ignition rules; its first when absent', 'speed-curve').optional(),
  constants: values('constants of that rule, lead and tiltGuard too, where they were not the study’s', 'height: 7.2 m'),
  set: values(
    'inputs of the study as they were: a plain value is known exactly, a value ± error was measured and teaches something of the input',
    'airframe.mass: 938 g ± 2 g',
  ),
  electronics: label('which flight computer; that of the attempt before when absent', 'board 1'),
  airframe: label('which airframe; a rebuilt one is another; that of the attempt before when absent', 'first'),
  batch: label('which purchase of motors; that of the attempt before when absent', 'may'),
  day: label('which day of flying; that of the attempt before when absent', '2031-05-03'),
};

const attempt = section('one attempt', {
  name: line('what it is called', 'hop 1').optional(),
  ...setting,
  observed: values(
    'outputs by their key (alight outputs lists them): value ± error, between A and B, a word, "never" for what did not happen, "not seen" for what nobody could tell',
    'apogee: 61 m ± 1 m',
  ),
  log: line('the flight computer’s log, a CSV file beside the logbook', 'hop-1.csv').optional(),
});

/** Attempts of a logbook at most. */
const MOST_ATTEMPTS = 100;

/** The whole file. */
export const LOGBOOK_FILE = section('attempts at one vehicle: what was set, and what was seen', {
  title: line('whose logbook this is, for the reader', 'Thistledown, first weekend'),
  columns: line(
    'which column of the flight computer’s logs is what, as after replay --columns',
    'time=t [ms], accelerationX=ax [g]',
  ).optional(),
  misjudged: quantity('', 'probability that a word, a count or a between is wrong', { low: 1e-6, high: 0.5, fallback: '2 %' }),
  attempts: z
    .array(attempt, { error: (issue) => `read ${show(issue.input)}; expected a list of attempts. Begin each entry with - name: ...` })
    .check((context) => {
      const count = context.value.length;
      if (count >= 1 && count <= MOST_ATTEMPTS) return;
      context.issues.push({
        code: 'custom',
        input: context.value,
        message: `read ${count} attempts; expected 1 to ${MOST_ATTEMPTS}. ${count === 0 ? 'Add one.' : 'Leave the oldest out.'}`,
      });
    })
    .meta({ description: 'in the order in which they were flown' }),
  next: section('the attempt asked about, where it is not flown as the study says', setting).prefault({} as never),
});

export type LogbookFile = z.output<typeof LOGBOOK_FILE>;
export type SettingEntry = LogbookFile['next'];
