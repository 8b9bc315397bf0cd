/** The list of reviews that are out: a page of it, and of each no more than a list shows. */
import type { PublishedQuery, ReviewUnitLink } from '../contracts/index.js';
import type { z } from 'zod';
import type { Tx } from './database.js';
import { Prisma } from './generated/client.js';

export interface ReviewOut {
  readonly loanId: string;
  readonly title: string;
  readonly makerName: string;
  readonly number: number;
  readonly publishedAt: Date;
  readonly firstPublishedAt: Date;
  readonly invented: boolean;
  readonly units: ReviewUnitLink[];
}

/** Newest first. @param without loans that whoever reads must not be told of */
export function reviewsOut(
  tx: Tx,
  query: z.output<typeof PublishedQuery>,
  without: readonly string[],
): Promise<ReviewOut[]> {
  const before =
    query.after === undefined
      ? Prisma.sql`true`
      : Prisma.sql`(p."publishedAt", p."id") < (select "publishedAt", "id" from "Publication"
          where "loanId" = ${query.after}::uuid and "state" = 'published')`;
  return tx.$queryRaw<ReviewOut[]>`
    with page as (
      select p.* from "Publication" p
      where p."state" = 'published' and not p."loanId"::text = any(${without}) and ${before}
      order by p."publishedAt" desc, p."id" desc limit ${query.limit})
    select p."loanId", p."title", p."content"->>'makerName' as "makerName", p."number", p."publishedAt",
      (select min("publishedAt") from "Publication" f where f."loanId" = p."loanId" and f."number" is not null) as "firstPublishedAt",
      (p."content"->'invented')::bool as "invented",
      (select coalesce(jsonb_agg(jsonb_build_object('id', u."id", 'name', u."name", 'makerName', u."makerName", 'kind', u."kind") order by u."position"), '[]')
       from "PublishedUnit" u where u."publicationId" = p."id") as "units"
    from page p order by p."publishedAt" desc, p."id" desc`;
}
