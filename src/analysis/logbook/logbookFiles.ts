/** A commented logbook to start from, and the schema by which editors help with one. Writes nothing itself. */
import { z } from 'zod';
import { LOGBOOK_FILE } from './logbookFile.ts';

/** The schema's file, named in the first line of a logbook. */
export const LOGBOOK_SCHEMA_NAME = 'logbook.schema.json';

/** JSON Schema (2020-12) of a logbook. */
export function logbookSchemaText(): string {
  const { $schema, ...rest } = z.toJSONSchema(LOGBOOK_FILE, {
    io: 'input',
    unrepresentable: 'any',
    // zod leaves the examples of entries out that it turns into something else
    override: ({ zodSchema, jsonSchema }) => {
      const examples: unknown = z.globalRegistry.get(zodSchema as unknown as z.ZodType)?.examples;
      if (Array.isArray(examples)) jsonSchema.examples = examples;
    },
  });
  return `${JSON.stringify({ $schema, title: 'alight logbook', ...rest }, null, 1)}\n`;
}

/** The files of a new logbook: itself, then the schema. */
export function newLogbook(): readonly [
  logbook: { readonly name: string; readonly text: string },
  schema: { readonly name: string; readonly text: string },
] {
  return [
    { name: 'logbook.yaml', text: TEMPLATE },
    { name: LOGBOOK_SCHEMA_NAME, text: logbookSchemaText() },
  ];
}

const TEMPLATE = `# yaml-language-server: $schema=./${LOGBOOK_SCHEMA_NAME}
#
# A logbook to start from, of invented attempts: put your own in their place. It stands beside the study it is of.
#
#   alight logbook check STUDY logbook.yaml     is it sound? every problem at once
#   alight learn STUDY logbook.yaml             what did the attempts teach, and what are the odds now?
#   alight inputs, alight outputs               the keys under set and observed
#
# Write down what was seen as soon as you stand beside it, with how far off it may be: 61 m ± 1 m, or +- where the sign is
# hard to type. An error that is too small teaches what is not true. Leave out, or write "not seen", what nobody could tell.

title: my lander, first weekend
misjudged: 2 % # how often a word is wrong: who is sure whether it leaned first or slid?

attempts:
  - name: hop 1
    # What stayed the same has the same name: the board, the airframe until it is rebuilt, one purchase of motors, one day.
    # Whatever is left out stays as at the attempt before.
    electronics: board 1
    airframe: first
    batch: april
    day: 3 May
    # rule: fixed-height             # the study's first when left out
    # constants: { height: 7.2 m }   # where they were not the study's
    # Inputs as they were: a plain value is known exactly; value ± error was measured, and teaches something of the input.
    set:
      airframe.mass: 748 g ± 3 g
      wind.speed: 2 m/s ± 0.7 m/s
      site.temperature: 288 K ± 2 K
    # Any output by its key: value ± error, between A and B, a word; "never" for what did not happen.
    observed:
      outcome: lit too high
      apogee: 62 m ± 2 m # believed by the flight computer, or filmed against the known height of something
      landingDistance: 11 m ± 1 m
      ignitionHeight: 9 m ± 0.5 m
      sink: between 4 m/s and 7 m/s
      tilt: not seen
    # log: hop-1.csv                 # the flight computer's own log: alight replay

  - name: hop 2
    set: { wind.speed: 2.5 m/s ± 0.7 m/s }
    observed:
      outcome: landed
      apogee: 58 m ± 2 m
      landingDistance: 14 m ± 1 m
      ignitionHeight: 8 m ± 0.5 m

# The attempt asked about, where it is not flown as the study says: a new day with the rule and constants of the study.
# next: { rule: fixed-height, constants: { height: 7.5 m }, set: { wind.speed: 1 m/s } }
`;
