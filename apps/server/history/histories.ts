/** The history of the house: searched, gone through page by page, taken home, and checked link by link. */
import { Readable } from 'node:stream';
import { Inject, Injectable } from '@nestjs/common';
import { DateTime } from 'luxon';
import type { z } from 'zod';
import type {
  CheckHistory,
  HistoryBreak,
  HistoryChainView,
  HistoryQuery,
  HistoryView,
} from '../../../libs/contracts/index.js';
import { checkAndNote, sealedFrom, type HistoryFilter, type Sealed } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { storedLimiter, waitMinutes, withinLimits } from '../access/storedLimits.js';
import { hideInHistory } from '../listening/hideResults.js';
import { presentHistory, type HistoryRow } from '../loans/present.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { CSV_HEAD, csvLine } from './historyCsv.js';

type Query = z.output<typeof HistoryQuery>;

const PAGE = 200;
const CSV_PAGE = 1000;
/** Going through everything is work: not in a loop. */
const CHECKS = { points: 20, duration: 3600 };

@Injectable()
export class Histories {
  readonly #checks;

  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {
    this.#checks = storedLimiter(config.database, 'history-check', CHECKS);
  }

  async page(query: Query, by: SignedIn): Promise<HistoryView[]> {
    const sealed = await sealedFrom(this.config.database.prisma, by.id);
    const rows = await this.#rows(query, sealed, query.before, PAGE);
    return presentHistory(rows, await this.#titlesOf(rows)).map((line) => hideInHistory(line, sealed));
  }

  async #titlesOf(rows: readonly HistoryRow[]): Promise<Map<string, string>> {
    const loans = await this.config.database.prisma.loan.findMany({
      where: { id: { in: [...new Set(rows.flatMap(({ loanId }) => loanId ?? []))] } },
      select: { id: true, title: true },
    });
    return new Map(loans.map(({ id, title }) => [id, title]));
  }

  /** Line by line as it is read: a history of years is not held in memory. */
  async csv(query: Query, by: SignedIn): Promise<Readable> {
    const sealed = await sealedFrom(this.config.database.prisma, by.id);
    return Readable.from(this.#csvParts(query, sealed), { objectMode: false });
  }

  async *#csvParts(query: Query, sealed: Sealed): AsyncGenerator<string> {
    yield CSV_HEAD;
    let before = query.before;
    for (;;) {
      const rows = await this.#rows(query, sealed, before, CSV_PAGE);
      if (rows.length > 0) yield rows.map((row) => csvLine(hideInHistory(row, sealed))).join('');
      if (rows.length < CSV_PAGE) return;
      before = Number(rows.at(-1)?.number);
    }
  }

  async chain(): Promise<HistoryChainView> {
    const { prisma } = this.config.database;
    const [head, last] = await Promise.all([
      prisma.historyHead.findUniqueOrThrow({ where: { id: 1 } }),
      prisma.historyCheck.findFirst({ orderBy: { at: 'desc' } }),
    ]);
    const broken =
      last?.brokenNumber == null
        ? null
        : { number: Number(last.brokenNumber), how: last.brokenHow as HistoryBreak };
    return {
      number: Number(head.number),
      hash: head.hash,
      checked: last && {
        at: last.at.toISOString(),
        by: last.askedBy,
        number: Number(last.number),
        broken,
      },
    };
  }

  async check({ written }: z.output<typeof CheckHistory>, by: SignedIn): Promise<HistoryChainView> {
    await withinLimits(
      () => this.#checks.consume(by.id),
      (seconds) => `The history was checked often just now. ${waitMinutes(seconds)}`,
    );
    const place = written && { number: BigInt(written.number), hash: written.hash };
    await checkAndNote(this.config.database, by, place);
    return this.chain();
  }

  /** Newest first, by time and then by number: the demo tells of earlier days. */
  async #rows(query: Query, sealed: Sealed, before: number | undefined, take: number): Promise<HistoryRow[]> {
    const { prisma } = this.config.database;
    const known =
      before === undefined
        ? null
        : await prisma.historyEntry.findUnique({ where: { number: before }, select: { at: true } });
    const earlier: HistoryFilter = known
      ? {
          OR: [{ at: { lt: known.at } }, { at: known.at, number: { lt: BigInt(before ?? 0) } }],
        }
      : {};
    return prisma.historyEntry.findMany({
      where: { AND: [await this.#filter(query), wordsFilter(query.text, sealed), earlier] },
      orderBy: [{ at: 'desc' }, { number: 'desc' }],
      take,
    });
  }

  async #filter({ by, from, to }: Query): Promise<HistoryFilter> {
    const installation = await this.config.database.prisma.installation.findUnique({ where: { id: 1 } });
    const zone = installation?.timeZone ?? 'UTC';
    const start = (day: string, plusDays = 0) =>
      DateTime.fromISO(day, { zone }).plus({ days: plusDays }).toJSDate();
    return {
      ...(by === undefined ? {} : { actorId: by }),
      at: {
        ...(from === undefined ? {} : { gte: start(from) }),
        ...(to === undefined ? {} : { lt: start(to, 1) }),
      },
    };
  }
}

/** Words are not looked for in lines that are told without their words: finding one would tell what it says. */
function wordsFilter(text: string | undefined, sealed: Sealed): HistoryFilter {
  if (!text) return {};
  const contains = { contains: escapedLike(text), mode: 'insensitive' as const };
  return {
    AND: [
      { OR: [{ sentence: contains }, { reason: contains }, { actorName: contains }] },
      { OR: [{ loanId: null }, { loanId: { notIn: [...sealed.loans] } }] },
    ],
  };
}

const escapedLike = (text: string): string => text.replaceAll(/[\\%_]/g, String.raw`\$&`);
