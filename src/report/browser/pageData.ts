/** What the page hands to its script, as data in the page. Types alone: nothing here runs. */
import type { Acting } from '../figure.ts';
import type { FlightsInPage } from '../flightsInPage.ts';

export interface PageData {
  readonly flights: FlightsInPage['packed'];
  readonly figures: readonly Acting[];
  readonly outcomes: readonly string[];
  readonly landed: number;
  readonly noResult: number;
  /** The command that flies a flight again, before and after its number. */
  readonly command: readonly [string, string];
}
