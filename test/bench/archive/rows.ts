/** Ten thousand loans straight into the tables, as years of work would leave them; all of it is marked invented. */
import pg from 'pg';
import { archiveNumberNames } from '../../../libs/contracts/archive.js';
import { comparedCurves } from '../../../libs/contracts/curveNames.js';
import { measurementPlanFor } from '../../../libs/loan-life/measurementPlan.js';
import type { Database } from '../../../libs/store/database.js';
import type { BaseUnit, KeptFile, Variation } from './bases.js';

export interface ArchiveSize {
  readonly loans: number;
  /** Of them still open: the rest are closed, their reviews out. */
  readonly open: number;
}

/** The tables are consistent by construction, and made again if the machine stops: only the filling is hurried. */
const HURRY = ['fsync = off', 'full_page_writes = off', `max_wal_size = '8GB'`];

export async function fillArchive(
  { url }: Database,
  bases: readonly BaseUnit[],
  variations: readonly Variation[],
  size: ArchiveSize,
): Promise<void> {
  // A connection of its own: those of the house are given up when a statement takes as long as some of these.
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  const run = (text: string, values: unknown[] = []) => client.query(text, values);
  try {
    for (const setting of HURRY) await run(`alter system set ${setting}`);
    await run(`select pg_reload_conf()`);
    await run('set session_replication_role = replica');
    await run('create schema bench');
    await keepBases(run, bases, variations);
    for (const step of steps(size)) await run(step);
    await run('drop schema bench cascade');
    for (const setting of HURRY) await run(`alter system reset ${setting.split(' ')[0]}`);
    await run(`select pg_reload_conf()`);
    await run('vacuum analyze');
    await run('checkpoint');
  } finally {
    await client.end();
  }
}

type Run = (text: string, values?: unknown[]) => Promise<unknown>;

async function keepBases(run: Run, bases: readonly BaseUnit[], variations: readonly Variation[]) {
  await run(`create table bench.base ("at" int primary key, "inputs" jsonb, "series" text, "figures" jsonb);
    create table bench.variation ("at" int primary key, "base" int, "result" jsonb, "summary" jsonb, "profile" jsonb,
      "curves" jsonb, "version" text, "settings" jsonb, "quality" jsonb,
      "findings" jsonb)`);
  const blobs = new Map<string, KeptFile | BaseUnit['series']>();
  for (const [at, { files, series, figures, figureFiles }] of bases.entries()) {
    for (const kept of [...files, series, ...figureFiles]) blobs.set(kept.sha256, kept);
    const inputs = files.map(({ file, sha256 }) => ({ file, sha256 }));
    const values = [at, JSON.stringify(inputs), series.sha256, JSON.stringify(figures)];
    await run('insert into bench.base values ($1, $2, $3, $4)', values);
  }
  const kept = [...blobs.values()];
  await run(
    `insert into "Blob" ("sha256", "bytes", "mediaType") select *, 'application/octet-stream'
     from unnest($1::text[], $2::bigint[]) on conflict do nothing`,
    [kept.map(({ sha256 }) => sha256), kept.map(({ bytes }) => bytes)],
  );
  for (const [at, { base, result, summary, profile }] of variations.entries()) {
    const { frequencyHz, curves = {}, sensitivity = null } = result;
    const shown = Object.fromEntries(
      comparedCurves.flatMap((name) => (curves[name] ? [[name, curves[name]]] : [])),
    );
    const texts = [result, summary, profile, { frequencyHz, curves: shown, sensitivity }];
    const jsons = texts.map((value) => JSON.stringify(value));
    const values = [at, base, ...jsons, result.algorithmVersion, JSON.stringify(result.settings)];
    values.push(JSON.stringify(result.quality), JSON.stringify(result.findings ?? []));
    await run('insert into bench.variation values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)', values);
  }
}

const KINDS = ['standmount', 'floorstander', 'active'] as const;
const SENTENCES = [
  'The upper bass leans a little on the side of warmth, and voices gain a chest from it.',
  'From two metres the stage stays put when one moves along the sofa.',
  'What the sweep shows at three kilohertz can be heard on strings, and not on much else.',
  'It plays louder than its size suggests before anything is lost.',
];

/** One step a statement, so that the one that is slow can be seen. */
function steps({ loans, open }: ArchiveSize): string[] {
  const closed = loans - open;
  const plan = measurementPlanFor('standmount');
  const text = (value: string) => `'${value.replaceAll("'", "''")}'`;
  return [
    `create table bench.loan as select n, gen_random_uuid() as "id", gen_random_uuid() as "unitId",
       gen_random_uuid() as "setId", gen_random_uuid() as "analysisId", gen_random_uuid() as "publicationId",
       encode(sha256(('invented ' || n)::bytea), 'hex') as "computationId",
       n % (select count(*)::int from bench.variation) as "variation", n % 40 as "maker",
       (array['${KINDS.join("','")}'])[1 + n % 3]::"UnitKind" as "kind",
       case when n <= ${closed} then 'closed' else (array['requested','agreed','measuring','listening','drafting'])[1 + n % 5] end::"Stage" as "stage",
       now() - make_interval(hours => 8 * (${loans} - n)) as "at",
       (array['Heath','Alder','Bracken','Curlew','Dunlin','Fallow','Gorse','Harrier'])[1 + n / 3 % 8] || ' ' || n as "name"
     from generate_series(1, ${loans}) n`,
    'alter table bench.loan add primary key (n)',
    `create table bench.maker as select n, gen_random_uuid() as "id",
       (array['Wren','Sedge','Moss','Flint','Marsh'])[1 + n % 5] || ' & ' || (array['Ash','Birch','Cairn','Dell','Esk','Firth','Glen','Holm'])[1 + n / 5] || ' (invented)' as "name"
     from generate_series(0, 39) n`,
    `insert into "Maker" ("id", "name", "invented") select "id", "name", true from bench.maker`,
    `insert into "Loan" ("id", "makerId", "title", "stage", "requestedOn", "arrivalFrom", "arrivalTo", "arrivedOn", "returnBy",
       "termsAgreedAt", "publishedAt", "deliveredOn", "outcome", "notes", "invented", "createdAt", "updatedAt")
     select l."id", m."id", l."name" || ' for review', l."stage", l."at" - interval '40 days', l."at" - interval '30 days',
       l."at" - interval '28 days', case when l."stage" not in ('requested','agreed') then l."at" - interval '28 days' end,
       l."at" + interval '30 days', l."at", case when l."stage" = 'closed' then l."at" + interval '20 days' end,
       case when l."stage" = 'closed' then l."at" + interval '27 days' end,
       case when l."stage" = 'closed' then 'returned' end, '', true, l."at", l."at"
     from bench.loan l join bench.maker m on m.n = l."maker"`,
    `insert into "Unit" ("id", "loanId", "name", "kind", "drivers", "finish", "serial", "priceMinor", "invented", "createdAt")
     select "unitId", "id", "name", "kind", '165 mm paper cone, 25 mm dome', 'oak', 'A' || n, 100000 + n * 10, true, "at" from bench.loan`,
    `insert into "PlannedDataSet" ("id", "unitId", "code", "title", "detail", "position")
     select gen_random_uuid(), "unitId", p.* from bench.loan, (values ${plan
       .map(({ code, title, detail }, at) => `(${text(code)}, ${text(title)}, ${text(detail)}, ${at})`)
       .join(', ')}) p`,
    `insert into "Accessory" ("id", "loanId", "name", "expectedCount", "arrivedCount", "returnedCount", "position")
     select gen_random_uuid(), "id", a."name", 1, 1, 1, a."at" from bench.loan,
       (values ('Grilles', 0), ('Feet', 1), ('Crate', 2)) a ("name", "at")`,
    `insert into "ConditionReport" ("id", "loanId", "moment", "condition", "signedByName", "signedAt", "createdAt")
     select gen_random_uuid(), "id", m::"Moment", 'Whole, without marks.', 'Ida Rask', "at", "at"
     from bench.loan, unnest(array['arrival', 'return']) m where m = 'arrival' or "stage" = 'closed'`,
    `insert into "MeasurementSet" ("id", "unitId", "name", "invented", "createdAt")
     select "setId", "unitId", 'All angles', true, "at" from bench.loan`,
    `insert into "SetFile" ("id", "setId", "name", "sha256", "createdAt")
     select gen_random_uuid(), l."setId", i->>'file', i->>'sha256', l."at"
     from bench.loan l join bench.variation v on v."at" = l."variation" join bench.base b on b."at" = v."base",
       jsonb_array_elements(b."inputs") i`,
    `insert into "Computation" ("id", "algorithmVersion", "settings", "inputs", "invented", "state", "progress", "attempts",
       "series", "result", "quality", "findings", "summary", "profile", "figures", "createdAt", "finishedAt", "computeMs")
     select l."computationId", v."version", v."settings", b."inputs", true, 'done', 1, 3,
       b."series", v."result", v."quality", v."findings", v."summary", v."profile", b."figures", l."at", l."at", 300
     from bench.loan l join bench.variation v on v."at" = l."variation" join bench.base b on b."at" = v."base"`,
    `insert into "Analysis" ("id", "setId", "computationId", "createdAt")
     select "analysisId", "setId", "computationId", "at" from bench.loan`,
    `insert into "ArchivedUnit" ("unitId", "responseAnalysisId", "impedanceAnalysisId", "algorithmVersion",
       ${archiveNumberNames.map((name) => `"${name}"`).join(', ')}, "responseDb", "directivityDb", "bassOctaves", "firstAt", "updatedAt")
     select l."unitId", l."analysisId", l."analysisId", '1.0.0',
       ${archiveNumberNames.map((name) => `(v."summary"->'numbers'->>'${name}')::float8 * (1 + 0.0001 * (l.n % 97))`).join(', ')},
       ${(['responseDb', 'directivityDb', 'bassOctaves'] as const)
         .map(
           (name) =>
             `(select array_agg(x::text::float8 + 0.001 * (l.n % 89) * sin(l.n * o) order by o) from jsonb_array_elements(v."profile"->'${name}') with ordinality as t (x, o))`,
         )
         .join(', ')}, l."at", l."at"
     from bench.loan l join bench.variation v on v."at" = l."variation"`,
    `insert into "ListeningSession" ("id", "unitId", "listenerId", "heardOn", "placement", "words", "remarks", "begunAt",
       "begunBlind", "blind", "sealedText", "sealHash", "sealedAt", "createdAt")
     select gen_random_uuid(), l."unitId", a."id", l."at", 'In the long room, a metre from the wall.', ${text(SENTENCES.join(' '))},
       '[{"id":"1","text":"voices are forward","sign":"excess","fromHz":1500,"toHz":3500,"severity":2}]', l."at", true, true,
       repeat('x', 900), repeat('0', 64), l."at", l."at"
     from bench.loan l, (select "id" from "Account" order by "createdAt" limit 1) a where l."stage" in ('closed', 'drafting')`,
    `insert into "Verdict" ("loanId", "text", "pros", "cons", "version")
     select "id", repeat(${text(`${SENTENCES.join(' ')}\n\n`)}, 15), '[]', '[]', 3 from bench.loan where "stage" in ('closed', 'drafting')`,
    `insert into "HistoryEntry" ("id", "number", "at", "actorName", "action", "loanId", "subject", "subjectId", "sentence")
     select gen_random_uuid(), 1000000 + l.n * 14 + s, l."at" + make_interval(mins => s * 90), 'Ida Rask', 'loan-changed', l."id", 'loan', l."id", 'did step ' || s || ' of “' || l."name" || '”'
     from bench.loan l, generate_series(1, 14) s`,
    `insert into "StepRecord" ("id", "loanId", "stepId", "kind", "unitKind", "state", "startedAt", "finishedAt", "minutes")
     select gen_random_uuid(), l."id", k, k, l."kind"::text, 'done', l."at", l."at" + interval '2 hours', 90 + l.n % 60
     from bench.loan l, unnest(array['unpack', 'drafting', 'pack']) k where l."stage" = 'closed'`,
    `insert into "Booking" ("id", "loanId", "stepId", "kind", "label", "session", "start", "finish", "outcome", "updatedAt")
     select gen_random_uuid(), l."id", k, k, k, 1, l."at", l."at" + interval '2 hours', 'worked', l."at"
     from bench.loan l, unnest(array['unpack', 'drafting', 'pack']) k where l."stage" = 'closed'`,
    `insert into "Publication" ("id", "loanId", "purpose", "state", "number", "title", "askedByName", "progress", "overrides", "content", "publishedAt", "askedAt")
     select l."publicationId", l."id", 'release', 'published', 1, l."name", 'Ida Rask', 1, '{}',
       jsonb_build_object('title', l."name", 'teamName', 'The Heath Room (invented)', 'makerName', m."name", 'invented', true,
         'text', jsonb_build_object('markdown', v."text", 'pros', '[]'::jsonb, 'cons', '[]'::jsonb, 'suggestions', '[]'::jsonb, 'version', 3),
         'units', '[]'::jsonb, 'listening', '[]'::jsonb, 'cautions', '[]'::jsonb,
         'licence', jsonb_build_object('name', 'CC BY 4.0', 'url', '', 'words', '')), l."at" + interval '20 days', l."at"
     from bench.loan l join bench.maker m on m.n = l."maker" join "Verdict" v on v."loanId" = l."id" where l."stage" = 'closed'`,
    `insert into "PublishedUnit" ("id", "publicationId", "unitId", "position", "current", "name", "makerName", "kind", "drivers", "finish",
       "priceMinor", "invented", "algorithmVersion", ${archiveNumberNames.map((name) => `"${name}"`).join(', ')}, "curves", "profile", "figures")
     select gen_random_uuid(), l."publicationId", l."unitId", 0, true, l."name", m."name", l."kind", '165 mm paper cone, 25 mm dome', 'oak',
       100000, true, '1.0.0', ${archiveNumberNames.map((name) => `a."${name}"`).join(', ')}, v."curves", v."profile", b."figures"
     from bench.loan l join bench.maker m on m.n = l."maker" join "ArchivedUnit" a on a."unitId" = l."unitId"
       join bench.variation v on v."at" = l."variation" join bench.base b on b."at" = v."base" where l."stage" = 'closed'`,
  ];
}
