/**
 * The worker's entry, and the only file here that knows the flight: which kinds of work there are, and what does them.
 */
import { CAMPAIGN_ROW_LENGTH, type CampaignVariation, makeCampaignKit } from '../flight/campaignMaker.ts';
import { type FlightKit, makeKit, ROW_LENGTH, type Variation } from '../flight/flightMaker.ts';
import { type GivenVariation, makeGivenKit } from '../flight/givenMaker.ts';
import { builtKernel } from '../flight/kernel/file.ts';
import type { Study } from '../study/study.ts';
import { serve, type Worker } from './serve.ts';
import type { ChunkReply, ChunkTask } from './task.ts';

/** One for all that this thread flies: flights come one after another. */
const kernel = builtKernel();

/** A fault of ours in a flight, with the study it was flown for. */
class FlightFault extends Error {
  readonly study: Study;

  constructor(cause: unknown, study: Study) {
    super(cause instanceof Error ? cause.message : String(cause), { cause });
    this.study = study;
  }
}

/** Work whose every number is one flight and one row. */
function oneRowEach(kit: Pick<FlightKit, 'fly'>, study: Study, rowLength = ROW_LENGTH): Worker {
  return {
    rowLength,
    mostRows: 1,
    work: (flight, row) => {
      try {
        kit.fly(flight, row);
      } catch (cause) {
        throw new FlightFault(cause, study);
      }
      return 1;
    },
  };
}

const handle = serve({
  flights: (plain, variation) => {
    const study = plain as Study;
    return oneRowEach(makeKit(study, variation as Variation, kernel), study);
  },
  given: (plain, variation) => {
    const study = plain as Study;
    const given = variation as GivenVariation;
    return oneRowEach(makeGivenKit(study, given, kernel), study, given.columns.length);
  },
  campaigns: (plain, variation) => {
    const study = plain as Study;
    const kit = makeCampaignKit(study, variation as CampaignVariation, kernel);
    return {
      rowLength: CAMPAIGN_ROW_LENGTH,
      mostRows: study.campaign.attempts,
      work: (campaign, rows) => {
        try {
          return kit.fly(campaign, rows);
        } catch (cause) {
          throw new FlightFault(cause, study);
        }
      },
    };
  },
});

export default (task: ChunkTask): ChunkReply | Promise<never> => {
  try {
    return handle(task);
  } catch (error) {
    if (error instanceof FlightFault) return ofItsStudy(error);
    throw error;
  }
};

/** The fault with all it takes to see it again. Loads what only this needs. */
async function ofItsStudy({ message, study, cause }: FlightFault): Promise<never> {
  const [{ resolvedYaml }, { studyHash }] = await Promise.all([import('../study/resolved.ts'), import('../study/studyHash.ts')]);
  throw new Error(`${message} (study ${studyHash(resolvedYaml(study))})`, { cause });
}
