/** The archive on a real installation: found by numbers, by likeness, laid over each other, and kept from listeners. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnalysisResult } from '../../libs/acoustics/analysis.js';
import { comparableProfile } from '../../libs/acoustics/comparables/comparableProfile.js';
import {
  archiveNumberNames,
  canonicalJson,
  type ArchiveQuery,
  type UnitKind,
} from '../../libs/contracts/index.js';
import { packOldResults } from '../../libs/store/storedResults.js';
import type { Database } from '../../libs/store/database.js';
import { databaseOf } from './databaseOf.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { inventedImpedance, inventedOrbits, type InventedOrbits } from './inventedOrbits.js';
import { join, makeUnit, refusalOf, setUpOwner, waitFor, type Visitor } from './visitor.js';

interface Made {
  readonly name: string;
  readonly kind: UnitKind;
  readonly shape: InventedOrbits;
}
const made: readonly Made[] = [
  { name: 'Bittern 2', kind: 'floorstander', shape: { tiltDbPerOctave: 2, cornerHz: 80 } },
  { name: 'Plover', kind: 'standmount', shape: { cornerHz: 110, beaming: 3.5 } },
  { name: 'Heron 2', kind: 'standmount', shape: { tiltDbPerOctave: 0.3, cornerHz: 55, levelDb: 90 } },
  { name: 'Heron 3', kind: 'standmount', shape: { cornerHz: 50 } },
];

describe('the archive', () => {
  let installation: Installation;
  let server: RunningInstallation;
  let host: Visitor;
  let database: Database;
  const unitIds = new Map<string, string>();
  const idOf = (name: string): string => unitIds.get(name) ?? '';

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    server = await installation.start();
    host = await setUpOwner(server.url);
    database = await databaseOf(installation);
    const maker = await host.client.addMaker({ name: 'Wren & Sedge (invented)' });
    for (const { name, kind, shape } of made) {
      const loan = await host.client.addLoan({ makerId: maker.id, title: `${name} for review` });
      const unit = await host.client.addUnit(loan.id, { name, kind, drivers: '165 mm paper cone' });
      unitIds.set(name, unit.id);
      await measure(host, unit.id, inventedOrbits(shape));
    }
  });
  afterAll(async () => {
    await database.close();
    await installation.remove();
  });

  it('has one row per unit with the numbers of its analysis', async () => {
    const { rows, total, withheld } = await host.client.archive({ sort: 'name', order: 'rising' });
    expect(rows.map(({ unitName }) => unitName)).toEqual(['Bittern 2', 'Heron 2', 'Heron 3', 'Plover']);
    expect({ total, withheld }).toEqual({ total: 4, withheld: 0 });
    for (const row of rows) {
      const analysis = await host.client.analysis(row.responseAnalysisId ?? '');
      for (const name of archiveNumberNames) expect(row.numbers[name]).toBe(analysis.summary?.[name] ?? null);
      // Hand-derived: the roll-off is 3 dB down at its corner; the tilt moves the axis, not much of F3.
      expect(row.numbers.sensitivityDb).toBeGreaterThan(80);
    }
    expect(rows[2]?.numbers.f3Hz).toBeCloseTo(50, 0);
    expect(rows[3]?.numbers.f3Hz).toBeCloseTo(110, -1);
  });

  it.each<ArchiveQuery>([
    { f3HzMax: 60 },
    { f3HzMax: 60, kinds: ['standmount'] },
    { coverageDegMin: 60, coverageDegMax: 100, f3HzMin: 45 },
    { inRoomSlopeDbPerOctaveMax: -1.5 },
    { sensitivityDbMin: 88, sensitivityDbMax: 92 },
    { minimumOhmMin: 0 },
  ])('finds what lies within the limits: %j', async (query) => {
    const all = (await host.client.archive({ pageSize: 100 })).rows;
    const expected = all.filter(({ kind, numbers }) => {
      if (query.kinds && !query.kinds.includes(kind)) return false;
      return archiveNumberNames.every((name) => {
        const [value, least, most] = [numbers[name], query[`${name}Min`], query[`${name}Max`]];
        if (least !== undefined && (value === null || value < Number(least))) return false;
        return most === undefined || (value !== null && value <= Number(most));
      });
    });
    const found = await host.client.archive(query);
    expect(found.rows.map(({ unitName }) => unitName).sort()).toEqual(
      expected.map(({ unitName }) => unitName).sort(),
    );
    expect(found.total).toBe(expected.length);
  });

  it('finds by words, in any order and of any part, taking signs as they are', async () => {
    const namesOf = async (text: string) =>
      (await host.client.archive({ text, sort: 'name', order: 'rising' })).rows.map(
        ({ unitName }) => unitName,
      );
    expect(await namesOf('heron')).toEqual(['Heron 2', 'Heron 3']);
    expect(await namesOf('review 165 sedge 3')).toEqual(['Heron 3']);
    expect(await namesOf('%')).toEqual([]);
    expect(await namesOf('_eron')).toEqual([]);
    expect(await namesOf("'; drop table")).toEqual([]);
  });

  it('turns pages without losing or repeating a unit, and sorts what was not measured last', async () => {
    const pages = [];
    for (const page of [1, 2, 3])
      pages.push(...(await host.client.archive({ sort: 'f10Hz', order: 'rising', page, pageSize: 2 })).rows);
    const values = pages.map(({ numbers }) => numbers.f10Hz ?? Infinity);
    expect(values).toHaveLength(4);
    expect(values).toEqual(values.toSorted((a, b) => a - b));
    expect(new Set(pages.map(({ unitId }) => unitId)).size).toBe(4);
  });

  it('says what is wrong with a question', async () => {
    const swapped = await refusalOf(host.client.archive({ f3HzMin: 60, f3HzMax: 50 }));
    expect(swapped.refusal.message).toContain('F3: at least 60 and at most 50 leaves nothing');
    expect((await host.fetch('/api/archive?f3HzMax=low')).status).toBe(422);
    expect((await host.fetch('/api/archive?f3HzMax=')).status).toBe(422);
    expect((await host.fetch('/api/archive?f3Max=50')).status).toBe(422);
    expect((await host.fetch('/api/archive?sort=passwordHash')).status).toBe(422);
    expect((await host.fetch('/api/archive?pageSize=100000')).status).toBe(422);
  });

  it('joins a later impedance set, and leaves it when the set is set aside', async () => {
    const unitId = idOf('Plover');
    const before = await rowOf(host, unitId);
    const set = await measure(host, unitId, inventedImpedance(4.2));
    const joined = await rowOf(host, unitId);
    expect(joined.numbers.minimumOhm).toBeCloseTo(4.2, 1);
    expect({ ...joined.numbers, minimumOhm: null, ratedOhm: null, epdrMinimumOhm: null }).toEqual(
      before.numbers,
    );
    await host.client.changeSet(set.id, {
      version: set.version,
      setAsideWhy: 'measured with the wrong leads',
    });
    expect((await rowOf(host, unitId)).numbers).toEqual(before.numbers);
    const other = await host.client.addSet(unitId, { name: 'the same again' });
    await host.put(other.id, 'impedance.csv', inventedImpedance(4.2).bytes);
    expect((await host.client.requestAnalysis(other.id)).state).toBe('done');
    expect((await rowOf(host, unitId)).numbers.minimumOhm).toBeCloseTo(4.2, 1);
  });

  it('packs a result that answers no set any more, and reads it as it was', async () => {
    const unitId = idOf('Bittern 2');
    const { responseAnalysisId } = await rowOf(host, unitId);
    const address = `/api/analyses/${responseAnalysisId ?? ''}`;
    const textOf = async (path: string) => canonicalJson(await (await host.fetch(path)).json());
    const [set] = await host.client.sets(unitId);
    if (!set) throw new Error('The unit has no set.');
    const before = { whole: await textOf(`${address}/result`), shown: await textOf(address) };
    expect(await packOldResults(database, 100)).toBe(0);
    await host.client.changeSet(set.id, { version: set.version, setAsideWhy: 'measured too close' });
    const stored = await bytesOf(database, responseAnalysisId ?? '');
    expect(await packOldResults(database, 100)).toBe(1);
    const packed = await bytesOf(database, responseAnalysisId ?? '');
    expect([stored.packed, packed.result]).toEqual([null, null]);
    console.log(`a packed result takes ${packed.packed} bytes instead of ${stored.result}`);
    expect(packed.packed).toBeLessThan(0.7 * (stored.result ?? 0));
    expect(await textOf(`${address}/result`)).toBe(before.whole);
    expect(await textOf(address)).toBe(before.shown);
    // A set that counts again is compared from what was packed.
    await host.client.changeSet(set.id, { version: set.version + 1, setAsideWhy: null });
    const figure = await host.client.comparison({ units: [unitId, idOf('Heron 3')] });
    expect(figure.panels[0]?.series.map(({ label }) => label)).toEqual(['Bittern 2', 'Heron 3']);
  });

  it('ranks earlier units by likeness, as the profiles say', async () => {
    const { comparedBy, rows } = await host.client.comparables(idOf('Heron 3'));
    expect(comparedBy).toEqual(['response', 'directivity', 'bass']);
    const profiles = new Map<string, Profile>();
    for (const { name } of made) profiles.set(name, await profileOf(host, idOf(name)));
    const expected = made
      .filter(({ name }) => name !== 'Heron 3')
      .map(({ name }) => ({ name, ...distanceOf(profiles.get('Heron 3'), profiles.get(name)) }))
      .sort((a, b) => a.distance - b.distance);
    expect(rows.map(({ unitName }) => unitName)).toEqual(expected.map(({ name }) => name));
    expect(rows[0]?.unitName).toBe('Heron 2');
    for (const [index, row] of rows.entries()) {
      for (const part of ['distance', 'responseDb', 'directivityDb', 'bassOctaves'] as const) {
        expect(row[part]).toBeCloseTo(expected[index]?.[part] ?? NaN, 9);
      }
    }
    // The loudest unit is the nearest: level is not likeness. Those measured later are not earlier.
    expect((await host.client.comparables(idOf('Bittern 2'))).rows).toEqual([]);
    const all = await host.client.comparables(idOf('Bittern 2'), { among: 'all', limit: 2 });
    expect(all.rows).toHaveLength(2);
    const { unit: unmeasured } = await makeUnit(host);
    expect(await host.client.comparables(unmeasured.id)).toMatchObject({ comparedBy: [], rows: [] });
    expect((await refusalOf(host.client.comparables(crypto.randomUUID()))).status).toBe(404);
  });

  it('lays units over each other on one figure, drawn and as a table', async () => {
    const units = [idOf('Heron 3'), idOf('Heron 2')];
    const figure = await host.client.comparison({ units, alignment: 'sensitivity' });
    expect(figure.panels[0]?.series.map(({ label }) => label)).toEqual(['Heron 3', 'Heron 2']);
    expect(figure.provenance).toMatch(/^Heron 3: inputs [0-9a-f]{12}, algorithm \d/);
    const at1k = figure.panels[0]?.series.map(({ x, y }) => y[x.findIndex((hz) => hz > 990)] ?? NaN) ?? [];
    // 4 dB apart as measured, together when each lies on its sensitivity.
    expect(Math.abs((at1k[0] ?? 0) - (at1k[1] ?? 0))).toBeLessThan(0.3);
    const address = `units=${units.join(',')}&alignment=as-measured&curve=onAxis`;
    const svg = await host.fetch(`/api/archive/comparison/figure.svg?${address}`);
    expect(svg.headers.get('content-type')).toBe('image/svg+xml');
    expect(await svg.text()).toMatch(/^<svg[\s>]/);
    const png = await host.fetch(`/api/archive/comparison/figure.png?${address}&size=print`);
    expect(
      Buffer.from(await png.arrayBuffer())
        .subarray(1, 4)
        .toString(),
    ).toBe('PNG');
    const csv = await (await host.fetch(`/api/archive/comparison/figure.csv?${address}`)).text();
    expect(csv).toContain('Heron 2');
    expect((await host.fetch(`/api/archive/comparison/figure.exe?${address}`)).status).toBe(404);
    const one = await refusalOf(host.client.comparison({ units: units.slice(0, 1) }));
    expect(one.refusal.message).toContain('two to eight different units');
    const unknown = await refusalOf(host.client.comparison({ units: [...units, crypto.randomUUID()] }));
    expect(unknown.refusal.code).toBe('not-in-archive');
  });

  it('keeps numbers from a member who may still hear the unit blind, and notes who has seen them', async () => {
    const listener = await join(host, 'cohost', 'Bo Lind');
    expect(await listener.client.archive()).toMatchObject({ rows: [], total: 0, withheld: 4 });
    // Limits on numbers must not tell what the hidden ones are.
    expect((await listener.client.archive({ f3HzMax: 60 })).withheld).toBe(4);
    expect((await listener.client.archive({ text: 'heron' })).withheld).toBe(2);
    const opened = idOf('Heron 3');
    await listener.client.sets(opened);
    expect((await listener.client.archive()).rows.map(({ unitId }) => unitId)).toEqual([opened]);
    expect(await listener.client.comparables(opened)).toMatchObject({ rows: [], withheld: 3 });

    const heard = idOf('Plover');
    const session = await listener.client.addListening(heard, { heardOn: '2031-05-02', remarks: [] });
    expect(await listener.client.sealListening(session.id, { version: session.version })).toMatchObject({
      blind: true,
    });
    expect((await listener.client.archive({ text: 'plover' })).total).toBe(1);
    expect((await listener.client.unit(heard)).dataOpened).toBe(true);

    const published = await host.client.unit(idOf('Bittern 2'));
    await database.prisma.loan.update({ where: { id: published.loanId }, data: { stage: 'published' } });
    expect((await listener.client.archive({ text: 'bittern' })).rows).toHaveLength(1);
  });

  it('finds the same in a large archive as a count of all its rows does', async () => {
    await addInventedRows(database, 10_000);
    const counted = async (where: string) => {
      const { rows } = await database.pool.query<{ count: number }>(
        `select count(*)::int as "count" from "ArchivedUnit" a join "Unit" u on u."id" = a."unitId"
         join "Loan" l on l."id" = u."loanId" where ${where}`,
      );
      return rows[0]?.count;
    };
    const narrow = await host.client.archive({ coverageDegMin: 60, coverageDegMax: 70, f3HzMax: 50 });
    expect(narrow.total).toBe(await counted(`a."coverageDeg" between 60 and 70 and a."f3Hz" <= 50`));
    const named = await host.client.archive({ text: 'model 77', sort: 'predictedPreference' });
    expect(named.total).toBe(
      await counted(`u."name" ilike '%model%' and (u."name" ilike '%77%' or l."title" ilike '%77%')`),
    );
    const late = await host.client.archive({
      kinds: ['standmount'],
      sort: 'f6Hz',
      order: 'rising',
      page: 100,
    });
    const before = await host.client.archive({
      kinds: ['standmount'],
      sort: 'f6Hz',
      order: 'rising',
      page: 99,
    });
    expect(late.rows).toHaveLength(25);
    expect(before.rows.at(-1)?.numbers.f6Hz).toBeLessThanOrEqual(late.rows[0]?.numbers.f6Hz ?? 0);
    const { rows } = await host.client.comparables(idOf('Heron 3'), { among: 'all', limit: 10 });
    expect(rows).toHaveLength(10);
    expect(rows.map(({ distance }) => distance)).toEqual(
      rows.map(({ distance }) => distance).toSorted((a, b) => a - b),
    );
  });

  it('turns the parts of the list of loans without a gap or a repeat while loans are added', async () => {
    const { rows: all } = await database.pool.query<{ id: string; open: boolean; due: string | null }>(
      `select "id", "stage" <> 'closed' as "open", "returnBy"::text as "due" from "Loan"`,
    );
    const day = (due: string | null) => (due === null ? Infinity : Date.parse(due));
    // The slow second way: open ones by their date, then the closed ones, the latest first; without a date last.
    const expected = all
      .toSorted(
        (a, b) =>
          Number(b.open) - Number(a.open) ||
          (a.due === b.due
            ? 0
            : a.due === null
              ? 1
              : b.due === null
                ? -1
                : a.open
                  ? day(a.due) - day(b.due)
                  : day(b.due) - day(a.due)) ||
          (a.id < b.id ? -1 : 1),
      )
      .map(({ id }) => id);
    const makerId = (await host.client.makers())[0]?.id ?? '';
    const known = new Set(expected);
    const turned: string[] = [];
    for (let after: string | undefined; turned.length < 1500;) {
      const part = await host.client.loans({ limit: 200, ...(after === undefined ? {} : { after }) });
      turned.push(...part.map(({ id }) => id));
      after = turned.at(-1);
      // With the earliest date of all: before everything that was turned.
      await host.client.addLoan({ makerId, title: 'Added in between', returnBy: '2001-01-01' });
    }
    expect(turned.filter((id) => known.has(id))).toEqual(expected.slice(0, turned.length));
    const closed = await host.client.loans({ show: 'closed', text: 'review 99', limit: 200 });
    const rest = await host.client.loans({
      show: 'closed',
      text: 'review 99',
      limit: 200,
      after: closed.at(-1)?.id ?? '',
    });
    // Of the numbers from 1 to 10,000, 280 have two nines beside each other.
    expect([closed.length, rest.length]).toEqual([200, 80]);
    expect(closed.every(({ stage, title }) => stage === 'closed' && title.includes('99'))).toBe(true);
    expect((await host.client.dashboard()).loans.every(({ stage }) => stage !== 'closed')).toBe(true);
    expect((await host.fetch('/api/loans?limit=100000')).status).toBe(422);
  });
});

/** What a result takes in its row, as it is and packed. */
async function bytesOf({ pool }: Database, analysisId: string) {
  const { rows } = await pool.query<{ result: number | null; packed: number | null }>(
    `select pg_column_size(c."result") as "result", pg_column_size(c."packedResult") as "packed"
     from "Analysis" n join "Computation" c on c."id" = n."computationId" where n."id" = $1`,
    [analysisId],
  );
  return rows[0] ?? { result: null, packed: null };
}

async function measure(visitor: Visitor, unitId: string, file: { name: string; bytes: Uint8Array }) {
  const set = await visitor.client.addSet(unitId, { name: file.name });
  expect((await visitor.put(set.id, file.name, file.bytes)).status).toBe(200);
  const { id } = await visitor.client.requestAnalysis(set.id);
  await waitFor(async () => {
    const { state } = await visitor.client.analysis(id);
    return state === 'done' ? true : undefined;
  }, `${file.name} to be analysed`);
  return set;
}

async function rowOf(visitor: Visitor, unitId: string) {
  const { rows } = await visitor.client.archive({ pageSize: 100 });
  const row = rows.find((one) => one.unitId === unitId);
  if (!row) throw new Error('The unit is not in the archive.');
  return row;
}

type Profile = NonNullable<ReturnType<typeof comparableProfile>>;

async function profileOf(visitor: Visitor, unitId: string): Promise<Profile> {
  const { responseAnalysisId } = await rowOf(visitor, unitId);
  const answer = await visitor.fetch(`/api/analyses/${responseAnalysisId ?? ''}/result`);
  const profile = comparableProfile((await answer.json()) as AnalysisResult);
  if (!profile) throw new Error('The unit has nothing to compare by.');
  return profile;
}

/** The slow second implementation of what the database computes. */
function distanceOf(one?: Profile, other?: Profile) {
  const rms = (part: keyof Profile): number => {
    const differences = (one?.[part] ?? []).flatMap((value, index) => {
      const against = other?.[part][index] ?? null;
      return value === null || against === null ? [] : [value - against];
    });
    return Math.sqrt(differences.reduce((sum, each) => sum + each ** 2, 0) / differences.length);
  };
  const parts = {
    responseDb: rms('responseDb'),
    directivityDb: rms('directivityDb'),
    bassOctaves: rms('bassOctaves'),
  };
  const squares = parts.responseDb ** 2 + parts.directivityDb ** 2 + (parts.bassOctaves * 3) ** 2;
  return { ...parts, distance: Math.sqrt(squares / 3) };
}

/** Rows as a decade of reviews would leave them, their loans published. */
async function addInventedRows({ pool }: Database, count: number): Promise<void> {
  await pool.query(
    `with maker as (insert into "Maker" ("id", "name", "invented") values (gen_random_uuid(), 'Many (invented)', true) returning "id"),
     loans as (
       insert into "Loan" ("id", "makerId", "title", "stage", "requestedOn", "returnBy", "invented")
       select gen_random_uuid(), maker."id", 'Review ' || n, 'closed', '2020-01-01',
              case when n % 50 > 0 then date '2020-01-01' + n % 700 end, true
       from maker, generate_series(1, $1::int) n returning "id", "title"),
     units as (
       insert into "Unit" ("id", "loanId", "name", "kind", "invented")
       select gen_random_uuid(), "id", 'Model ' || substr("title", 8),
              (array['standmount', 'floorstander', 'active']::"UnitKind"[])[1 + floor(random() * 3)::int], true
       from loans returning "id")
     insert into "ArchivedUnit" ("unitId", "algorithmVersion", "sensitivityDb", "f3Hz", "f6Hz", "f10Hz", "coverageDeg",
       "predictedPreference", "inRoomSlopeDbPerOctave", "listeningWindowWithinDb", "minimumOhm",
       "responseDb", "directivityDb", "bassOctaves", "firstAt")
     select "id", '1.0.0', 80 + 12 * random(), 25 + 80 * random(), 22 + 70 * random(), 20 + 60 * random(),
       40 + 50 * random(), 2 + 6 * random(), -2 + 1.5 * random(), 1 + 4 * random(), 2 + 6 * random(),
       (select array_agg(random() * 4 - 2) from generate_series(1, 20) where "id" is not null),
       (select array_agg(random() * 10) from generate_series(1, 20) where "id" is not null),
       array[5 + random(), 4.5 + random()], now() - random() * interval '3000 days'
     from units`,
    [count],
  );
  await pool.query('analyze');
}
