/** How much may be uploaded: into one set, by one person on one day, and altogether. Refused before the bytes are taken. */
import { Inject, Injectable } from '@nestjs/common';
import { DateTime } from 'luxon';
import type { z } from 'zod';
import type { ChangeUploadQuota, UploadQuotaView } from '../../../libs/contracts/index.js';
import { defaultLimits, sayBytes } from '../../../libs/measurement-files/limits.js';
import { change, differences, writeVersion, type Tx } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

interface Quota {
  readonly setBytes: bigint;
  readonly personDailyBytes: bigint;
  readonly installationBytes: bigint;
  readonly version: number;
}
const GB = 1_000_000_000n;
/** Common practice, no source: some twenty full sets in one, two hundred a day, ten thousand units. */
const defaults: Quota = {
  setBytes: 2n * GB,
  personDailyBytes: 20n * GB,
  installationBytes: 1000n * GB,
  version: 0,
};
/** Adding up what is stored need not be done for every file of a folder. */
const STORED_FOR_MS = 10_000;

@Injectable()
export class UploadQuotas {
  #stored: { readonly at: number; readonly bytes: bigint } | undefined;

  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  /**
   * Takes the bytes off what the person may still send today.
   * @throws Refused, with nothing taken, when that or another quota would be passed
   */
  async take(by: SignedIn, bytes: number, setId?: string): Promise<void> {
    const { prisma } = this.config.database;
    // One upload takes no more than this anyway.
    const asked = BigInt(Math.min(bytes, defaultLimits.totalBytes));
    const quota = await quotaOf(prisma);
    if ((await this.#storedBytes()) + asked > quota.installationBytes) {
      throw refuse.wrong(
        'installation-full',
        `All files together may have ${say(quota.installationBytes)}, and that much is stored.`,
        'Ask the owner to raise the quota, or to make room.',
      );
    }
    if (setId !== undefined && (await setBytes(prisma, setId)) + asked > quota.setBytes) {
      throw refuse.wrong(
        'set-full',
        `One set may have ${say(quota.setBytes)}; with this file it would have more.`,
        'Begin another set, or ask the owner to raise the quota.',
      );
    }
    if (!(await this.#takeFromDay(by.id, asked, quota.personDailyBytes))) {
      throw refuse.wrong(
        'day-full',
        `You may send ${say(quota.personDailyBytes)} on one day; with this file it would be more.`,
        'Go on tomorrow, or ask the owner to raise the quota.',
      );
    }
  }

  async show(): Promise<UploadQuotaView> {
    const quota = await quotaOf(this.config.database.prisma);
    return {
      setBytes: Number(quota.setBytes),
      personDailyBytes: Number(quota.personDailyBytes),
      installationBytes: Number(quota.installationBytes),
      version: quota.version,
      storedBytes: Number(await this.#storedBytes()),
    };
  }

  async change(ask: z.output<typeof ChangeUploadQuota>, by: SignedIn): Promise<UploadQuotaView> {
    const { version, ...given } = ask;
    const data = Object.fromEntries(Object.entries(given).map(([name, value]) => [name, BigInt(value)]));
    await change(this.config.database, by, async (made) => {
      await made.tx.uploadQuota.createMany({ data: [{ id: 1, ...defaults }], skipDuplicates: true });
      const { before, after } = await writeVersion<Quota & { id: number }>(
        made.tx.uploadQuota,
        1,
        version,
        data,
      );
      const sentence = 'changed how much may be uploaded';
      const difference = differences(before, after);
      made.record({
        action: 'upload-quota',
        subject: 'quota',
        subjectId: 'uploads',
        sentence,
        ...difference,
      });
    });
    return this.show();
  }

  /** In one statement: two uploads at once do not both take the last of it. */
  async #takeFromDay(accountId: string, bytes: bigint, most: bigint): Promise<boolean> {
    const { prisma, pool } = this.config.database;
    if (bytes > most) return false;
    const installation = await prisma.installation.findUnique({ where: { id: 1 } });
    const day = DateTime.now()
      .setZone(installation?.timeZone ?? 'UTC')
      .toISODate();
    const taken = await pool.query(
      `insert into "UploadedToday" ("accountId", "day", "bytes") values ($1, $2, $3)
       on conflict ("accountId", "day") do update set "bytes" = "UploadedToday"."bytes" + excluded."bytes"
       where "UploadedToday"."bytes" + excluded."bytes" <= $4`,
      [accountId, day, bytes.toString(), most.toString()],
    );
    return taken.rowCount === 1;
  }

  async #storedBytes(): Promise<bigint> {
    const now = Date.now();
    if (!this.#stored || this.#stored.at < now - STORED_FOR_MS) {
      const { _sum } = await this.config.database.prisma.blob.aggregate({ _sum: { bytes: true } });
      this.#stored = { at: now, bytes: _sum.bytes ?? 0n };
    }
    return this.#stored.bytes;
  }
}

async function quotaOf(tx: Tx): Promise<Quota> {
  return (await tx.uploadQuota.findUnique({ where: { id: 1 } })) ?? defaults;
}

async function setBytes(tx: Tx, setId: string): Promise<bigint> {
  const files = await tx.setFile.findMany({
    where: { setId },
    select: { blob: { select: { bytes: true } } },
  });
  return files.reduce((sum, { blob }) => sum + blob.bytes, 0n);
}

const say = (bytes: bigint): string => sayBytes(Number(bytes));
