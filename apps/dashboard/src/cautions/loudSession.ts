/** Planned loud work against the limit of a day. */
import { allowedMinutes } from '../../../../libs/acoustics/cautions/allowedMinutes.js';
import { noiseDose } from '../../../../libs/acoustics/cautions/noiseDose.js';
import { parseNumber } from '../words/numbers.js';

/** One planned stretch as typed. */
export interface ExposureDraft {
  readonly id: number;
  readonly level: string;
  readonly minutes: string;
}
export interface PlannedExposure {
  readonly id: number;
  readonly levelDba: number | null;
  readonly minutes: number | null;
  readonly wrongLevel?: string;
  readonly wrongMinutes?: string;
  /** How long this level alone may be stood in a day. */
  readonly allowedMinutes: number | null;
  /** How long this level may still be stood after all that is planned; 0 when the day is spent. */
  readonly leftMinutes: number | null;
}
export interface LoudPlan {
  readonly exposures: readonly PlannedExposure[];
  readonly percent: number;
  readonly timeWeightedAverageDba: number | null;
  /** Some line could not be read: the sum is of the others. */
  readonly incomplete: boolean;
}

/** Levels nobody plays by intention; beyond them something else than the level was typed. */
const LEAST_DBA = 30;
const MOST_DBA = 140;
const MINUTES_A_DAY = 1440;

export function planLoudSession(drafts: readonly ExposureDraft[]): LoudPlan {
  const read = drafts.map(readExposure);
  const counted = read.flatMap(({ levelDba, minutes }) =>
    levelDba === null || minutes === null ? [] : [{ levelDba, minutes }],
  );
  const dose = noiseDose(counted);
  const left = Math.max(0, 1 - dose.percent / 100);
  return {
    exposures: read.map((exposure) => ({
      ...exposure,
      leftMinutes: exposure.allowedMinutes === null ? null : exposure.allowedMinutes * left,
    })),
    percent: dose.percent,
    timeWeightedAverageDba: dose.timeWeightedAverageDba ?? null,
    incomplete: counted.length < drafts.filter((draft) => draft.level !== '' || draft.minutes !== '').length,
  };
}

function readExposure({ id, level, minutes }: ExposureDraft): Omit<PlannedExposure, 'leftMinutes'> {
  const typedLevel = parseNumber(level);
  const typedMinutes = parseNumber(minutes);
  const levelHolds = typedLevel === null || (typedLevel >= LEAST_DBA && typedLevel <= MOST_DBA);
  const minutesHold = typedMinutes === null || (typedMinutes >= 0 && typedMinutes <= MINUTES_A_DAY);
  const levelDba = levelHolds ? typedLevel : null;
  return {
    id,
    levelDba,
    minutes: minutesHold ? typedMinutes : null,
    ...(levelHolds ? {} : { wrongLevel: `Give a level from ${LEAST_DBA} to ${MOST_DBA} dBA.` }),
    ...(minutesHold ? {} : { wrongMinutes: `Give minutes from 0 to ${MINUTES_A_DAY}.` }),
    allowedMinutes: levelDba === null ? null : allowedMinutes(levelDba),
  };
}

/** `8 h`, `2 h 31 min`, `1 min 29 s`: rounded down, for a limit must not grow in the telling. */
export function durationWords(minutes: number): string {
  if (minutes >= MINUTES_A_DAY) return 'all day';
  const seconds = Math.floor(minutes * 60 + 1e-6);
  const [h, min, s] = [Math.floor(seconds / 3600), Math.floor((seconds % 3600) / 60), seconds % 60];
  if (h > 0) return min > 0 ? `${h} h ${min} min` : `${h} h`;
  if (min >= 10 || s === 0) return `${min} min`;
  return min > 0 ? `${min} min ${s} s` : `${s} s`;
}
