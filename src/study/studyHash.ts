/** What a study is known by. By itself, since also the parts of the program that must start quickly ask for it. */
import { createHash } from 'node:crypto';

/** sha256 of the resolved study's text (resolved.ts), in hexadecimal. */
export function studyHash(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex');
}
