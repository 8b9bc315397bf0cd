/**
 * What people ask of a large archive, by page: the address their hands would make, and the same list asked of the
 * database by one statement, as lean as it can be said. What the house adds to that statement is rights, rules, plans
 * and words; the ratio says what it costs.
 */
import type { Visitor } from '../../seams/visitor.js';

export interface Question {
  readonly address: string;
  /** Where in the answer its list is, and by what its members are told apart: both ways must give the same ones. */
  readonly list: string;
  readonly id: string;
  readonly sql: string;
  readonly values: readonly unknown[];
}

export async function archiveQuestions(host: Visitor): Promise<Record<string, readonly Question[]>> {
  const { rows } = await host.client.archive({ sort: 'f3Hz', pageSize: 100, page: 7 });
  const units = rows.map(({ unitId }) => unitId);
  return {
    'the first page': [firstPage],
    'the archive, searched and sorted': archiveSearches,
    'loans found by words': [
      loansFound('text=curlew+34', 'all', ['curlew', '34']),
      loansFound('text=sedge&show=closed', 'closed', ['sedge']),
      loansFound('show=closed', 'closed', []),
    ],
    'the nearest units': units.slice(0, 40).map(nearest),
    'units laid over each other': [
      overlay(units.slice(0, 2), 'listeningWindow'),
      overlay(units.slice(10, 15), 'listeningWindow', '&alignment=sensitivity'),
      overlay(units.slice(30, 38), 'onAxis'),
    ],
    'the history': [history],
    'published reviews': [reviews, ...reviewUnits],
    'a loan': rows.slice(0, 40).map(({ loanId }) => oneLoan(loanId)),
  };
}

const loanSummary = `l."id", l."title", m."id" as "makerId", m."name" as "makerName", l."stage", l."arrivalFrom",
  l."arrivalTo", l."arrivedOn", l."returnBy", l."embargoUntil", l."publishedAt", l."invented", l."version",
  (select json_agg(json_build_object('id', u."id", 'name', u."name", 'kind', u."kind",
     'sets', (select count(*) from "MeasurementSet" s where s."unitId" = u."id"),
     'planned', (select count(*) from "PlannedDataSet" p where p."unitId" = u."id")))
   from "Unit" u where u."loanId" = l."id") as "units",
  (select json_agg(b) from "Booking" b where b."loanId" = l."id") as "bookings"`;

const firstPage: Question = {
  address: '/api/dashboard',
  list: 'loans',
  id: 'id',
  sql: `select ${loanSummary} from "Loan" l join "Maker" m on m."id" = l."makerId"
    where l."stage" <> 'closed' order by l."returnBy", l."id"`,
  values: [],
};

function loansFound(query: string, show: 'all' | 'closed', words: readonly string[]): Question {
  const conditions = [
    show === 'all' ? 'true' : `(l."stage" = 'closed')`,
    ...words.map(
      (_, at) => `(l."title" ilike $${at + 1} or m."name" ilike $${at + 1}
        or exists (select 1 from "Unit" u where u."loanId" = l."id" and u."name" ilike $${at + 1}))`,
    ),
  ];
  return {
    address: `/api/loans?${query}`,
    list: '',
    id: 'id',
    sql: `select ${loanSummary} from "Loan" l join "Maker" m on m."id" = l."makerId" where ${conditions.join(' and ')}
      order by (l."stage" = 'closed'), (case when l."returnBy" is null then 1000000
        when l."stage" = 'closed' then date '2000-01-01' - l."returnBy" else l."returnBy" - date '2000-01-01' end),
        l."id" limit 100`,
    values: words.map((word) => `%${word}%`),
  };
}

/** Units on a page, where nobody asks for more. */
const PAGE = 25;
const named = `"ArchivedUnit" a join "Unit" u on u."id" = a."unitId" join "Loan" l on l."id" = u."loanId"
  join "Maker" m on m."id" = l."makerId"`;
/** Units whose loans are still on their way are not shown before somebody has heard or opened them. */
const shown = `(l."stage" in ('published', 'returning', 'closed')
  or exists (select 1 from "DataOpening" o where o."unitId" = u."id")
  or exists (select 1 from "ListeningSession" s where s."unitId" = u."id" and s."sealedAt" is not null))`;
const archived = `a.*, u."name" as "unitName", u."kind", l."id" as "loanId", l."title" as "loanTitle", l."stage",
  m."name" as "makerName"`;

function archiveSearch(query: string, where: string, order: string, page = 1): Question {
  return {
    address: `/api/archive?${query}`,
    list: 'rows',
    id: 'unitId',
    sql: `select ${archived}, count(*) over () as "total" from ${named} where ${shown} and ${where}
      order by ${order}, a."unitId" limit ${PAGE} offset ${PAGE * (page - 1)}`,
    values: [],
  };
}

const anywhere = (word: string): string =>
  `concat_ws(' ', u."name", u."drivers", u."finish", l."title", m."name") ilike '%${word}%'`;

const archiveSearches: readonly Question[] = [
  archiveSearch('', 'true', 'a."firstAt" desc nulls last'),
  archiveSearch(
    'coverageDegMin=40&coverageDegMax=70&f3HzMax=50',
    'a."coverageDeg" between 40 and 70 and a."f3Hz" <= 50',
    'a."firstAt" desc nulls last',
  ),
  archiveSearch(
    'kinds=standmount&sort=f6Hz&order=rising&page=40',
    `u."kind" = 'standmount'`,
    'a."f6Hz" asc nulls last',
    40,
  ),
  archiveSearch(
    'text=heath+33&sort=predictedPreference',
    `${anywhere('heath')} and ${anywhere('33')}`,
    'a."predictedPreference" desc nulls last',
  ),
  archiveSearch('sort=maker&order=rising&page=200', 'true', 'lower(m."name") asc nulls last', 200),
];

/** Root mean squares over bands, third octaves and octaves scaled as the house's likeness says. */
function nearest(unitId: string): Question {
  const rms = (column: string, one: string) =>
    `(select sqrt(avg((x - y) ^ 2)) from unnest(a."${column}", one."${one}") t (x, y) where x is not null and y is not null)`;
  return {
    address: `/api/archive/units/${unitId}/comparables?limit=5`,
    list: 'rows',
    id: 'unitId',
    sql: `with one as (select * from "ArchivedUnit" where "unitId" = $1)
      select ${archived} from one, ${named}
      where ${shown} and a."unitId" <> $1 and a."firstAt" < one."firstAt"
      order by ${rms('responseDb', 'responseDb')} ^ 2 + ${rms('directivityDb', 'directivityDb')} ^ 2
        + (3 * ${rms('bassOctaves', 'bassOctaves')}) ^ 2, a."unitId" limit 5`,
    values: [unitId],
  };
}

function overlay(units: readonly string[], curve: string, more = ''): Question {
  return {
    address: `/api/archive/comparison?units=${units.join(',')}&curve=${curve}${more}`,
    list: 'panels.0.series',
    id: 'label',
    sql: `select u."name" as "label", c."result"->'frequencyHz' as "frequencyHz",
        c."result"->'curves'->'${curve}' as "curve", c."result"->'sensitivity' as "sensitivity"
      from unnest($1::uuid[]) with ordinality as asked ("unitId", "at")
      join "ArchivedUnit" a using ("unitId") join "Unit" u on u."id" = a."unitId"
      join "Analysis" n on n."id" = a."responseAnalysisId" join "Computation" c on c."id" = n."computationId"
      order by asked."at"`,
    values: [units],
  };
}

const history: Question = {
  address: '/api/history',
  list: '',
  id: 'id',
  sql: `select h."id", h."number", h."at", h."actorName", h."action", h."sentence", h."reason", h."loanId",
      l."title" as "loanTitle"
    from "HistoryEntry" h left join "Loan" l on l."id" = h."loanId" order by h."at" desc, h."number" desc limit 200`,
  values: [],
};

const reviews: Question = {
  address: '/api/reviews',
  list: '',
  id: 'loanId',
  sql: `select p."loanId", p."title", p."content"->>'makerName' as "makerName", p."number", p."publishedAt",
      (select json_agg(json_build_object('id', u."id", 'name', u."name", 'kind', u."kind"))
       from "PublishedUnit" u where u."publicationId" = p."id") as "units"
    from "Publication" p where p."state" = 'published' order by p."publishedAt" desc, p."id" desc limit 100`,
  values: [],
};

const publishedUnits = (query: string, where: string): Question => ({
  address: `/api/reviews/units?${query}`,
  list: 'rows',
  id: 'id',
  sql: `select u."id", u."name", u."makerName", u."kind", u."priceMinor", u."f3Hz", u."coverageDeg",
      u."sensitivityDb", p."loanId", p."title", p."publishedAt", count(*) over () as "total"
    from "PublishedUnit" u join "Publication" p on p."id" = u."publicationId"
    where u."current" and p."state" = 'published' and ${where}
    order by p."publishedAt" desc, u."id" limit ${PAGE}`,
  values: [],
});
const said = (word: string): string =>
  `concat_ws(' ', u."name", u."makerName", u."drivers", u."finish", p."title") ilike '%${word}%'`;
const reviewUnits: readonly Question[] = [
  publishedUnits('', 'true'),
  publishedUnits('text=heath+33&f3HzMax=60', `${said('heath')} and ${said('33')} and u."f3Hz" <= 60`),
];

const listOf = (table: string, where: string): string =>
  `(select json_agg(t) from "${table}" t where ${where})`;
const oneLoan = (id: string): Question => ({
  address: `/api/loans/${id}`,
  list: '',
  id: 'id',
  sql: `select l.*, m."name" as "makerName", ${listOf('Unit', 't."loanId" = l."id"')} as "units",
      (select json_agg(p) from "PlannedDataSet" p join "Unit" u on u."id" = p."unitId" where u."loanId" = l."id") as "planned",
      (select json_agg(s) from "ListeningSession" s join "Unit" u on u."id" = s."unitId" where u."loanId" = l."id") as "listening",
      ${listOf('Accessory', 't."loanId" = l."id"')} as "accessories",
      ${listOf('ConditionReport', 't."loanId" = l."id"')} as "reports",
      ${listOf('Verdict', 't."loanId" = l."id"')} as "verdict",
      ${listOf('SignOff', 't."loanId" = l."id"')} as "signOffs"
    from "Loan" l join "Maker" m on m."id" = l."makerId" where l."id" = $1`,
  values: [id],
});
