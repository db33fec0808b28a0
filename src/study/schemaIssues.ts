/** What the schema found wrong, turned into findings. */
import type { z } from 'zod';
import { MOST_UNKNOWN } from './fields.ts';
import type { Findings, Path } from './findings.ts';

/** @param path of what was parsed, in the study */
export function noteSchemaIssues(issues: readonly z.core.$ZodIssue[], path: Path, findings: Findings): void {
  for (const issue of issues) {
    const place = [...path, ...issue.path.map((step) => (typeof step === 'number' ? step : String(step)))];
    if (issue.code === 'unrecognized_keys') {
      const texts = issue.message.split('\n'); // one a key: mapErrors in fields.ts
      for (const [i, key] of issue.keys.slice(0, MOST_UNKNOWN).entries()) findings.problemOfKey([...place, key], texts[i] ?? issue.message);
      const more = issue.keys.length - MOST_UNKNOWN;
      if (more > 0) findings.problem(place, `read ${more} more unknown keys; mend these first.`);
    } else if (issue.code === 'invalid_type' && issue.expected === 'nonoptional') {
      findings.problem(place, `missing; expected a value. Add ${String(place.at(-1))}: with its value.`);
    } else findings.problem(place, issue.message);
  }
}
