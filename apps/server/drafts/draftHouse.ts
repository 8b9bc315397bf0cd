/** How the team writes: the order of its reviews and its pace of speaking. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import {
  usualOutline,
  type ChangeDraftHouse,
  type DraftHouseView,
  type OutlineItem,
} from '../../../libs/contracts/index.js';
import { USUAL_WORDS_PER_MINUTE } from '../../../libs/drafts/index.js';
import { change, json, NULL_JSON, StaleVersion, type Tx } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

export async function draftHouse(tx: Tx): Promise<DraftHouseView> {
  const row = await tx.draftHouse.findUnique({ where: { id: 1 } });
  const own = row?.outline as OutlineItem[] | null | undefined;
  return {
    outline: own ?? [...usualOutline],
    usual: !own,
    wordsPerMinute: row?.wordsPerMinute ?? USUAL_WORDS_PER_MINUTE,
    version: row?.version ?? 0,
  };
}

@Injectable()
export class DraftHouse {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  view(): Promise<DraftHouseView> {
    return draftHouse(this.config.database.prisma);
  }

  async change(ask: z.output<typeof ChangeDraftHouse>, by: SignedIn): Promise<DraftHouseView> {
    const { version, outline, wordsPerMinute } = ask;
    await change(this.config.database, by, async (made) => {
      const { tx } = made;
      const data = {
        ...(outline === undefined ? {} : { outline: outline === null ? NULL_JSON : json(outline) }),
        ...(wordsPerMinute === undefined ? {} : { wordsPerMinute }),
      };
      const written =
        version === 0
          ? await tx.draftHouse.createMany({ data: [{ id: 1, ...data }], skipDuplicates: true })
          : await tx.draftHouse.updateMany({
              where: { id: 1, version },
              data: { ...data, version: { increment: 1 } },
            });
      if (written.count === 0) throw new StaleVersion(await draftHouse(tx));
      const sentence = outline === undefined ? 'set the pace of speaking' : 'set the usual order of reviews';
      made.record({ action: 'draft-house-changed', subject: 'house', subjectId: '1', sentence });
      made.publish('team', 'draft-house-changed', { by: by.name, sentence });
    });
    return this.view();
  }
}
