/** The cautions that stand under every answer. Plain words, one place. */

export const CAUTIONS: readonly string[] = [
  'A simulation is neither permission nor proof: the real vehicle can do what no flight here did.',
  'Follow local law, the national safety code, the range safety officer and licensed practice.',
  'Clear distances come from them, never from this program.',
];
