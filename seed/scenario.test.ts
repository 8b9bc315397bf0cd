import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { stages, unitKinds } from '../libs/contracts/names.js';
import { Remark } from '../libs/contracts/listening.js';
import { demoScenario, demoSetFiles, photographPng } from './scenario.js';
import { measurementSet } from './files/measurementSet.js';
import { main } from './writeDemo.js';

const TODAY = '2026-03-04';
const demo = demoScenario({ seed: 1, today: TODAY });
const units = demo.loans.flatMap((loan) => loan.units.map((unit) => ({ loan, unit })));
const photographs = demo.loans.flatMap((loan) => loan.reports.flatMap((report) => report.photographs));

describe('demoScenario', () => {
  it('is the same for the same day and moves with it', () => {
    expect(demoScenario({ seed: 1, today: TODAY })).toEqual(demo);
    const week = demoScenario({ seed: 1, today: '2026-03-11' });
    const returns = (scenario: typeof demo) =>
      scenario.loans.flatMap((loan) => (loan.returnBy === null ? [] : [Date.parse(loan.returnBy)]));
    const moved = returns(week).map((day, index) => (day - (returns(demo)[index] ?? 0)) / 86_400_000);
    expect(new Set(moved)).toEqual(new Set([7]));
  });

  it('refuses what is not a day', () => {
    expect(() => demoScenario({ seed: 1, today: 'today' })).toThrow('must be a day');
    expect(() => demoScenario({ seed: 1, today: '2026-13-40' })).toThrow('must be a day');
  });

  it('has a loan at every stage, four makers and every role', () => {
    expect([...new Set(demo.loans.map((loan) => loan.stage))].sort()).toEqual([...stages].sort());
    expect(demo.loans.length).toBeGreaterThanOrEqual(8);
    expect(demo.makers).toHaveLength(4);
    expect(new Set(demo.loans.map((loan) => loan.makerId)).size).toBe(4);
    expect(demo.team.people.map((person) => person.role).sort()).toEqual([
      'cohost',
      'editor',
      'owner',
      'viewer',
    ]);
    expect(new Set(units.map(({ unit }) => unit.kind)).size).toBe(unitKinds.length);
  });

  it('uses only names that can reach nobody', () => {
    const addresses = [
      ...demo.team.people.map((person) => person.email),
      ...demo.makers.flatMap((maker) => [maker.website, ...maker.contacts.map((contact) => contact.email)]),
      ...demo.loans.map((loan) => loan.publishedUrl ?? 'x.example'),
    ];
    for (const address of addresses) expect(address).toMatch(/(\.example|\bexample\.org)(\/[\w/-]*)?$/);
    const phones = demo.makers.flatMap((maker) => maker.contacts.map((contact) => contact.phone));
    for (const phone of phones) expect(phone).toMatch(/^\+44 1632 960\d{3}$/);
  });

  it('ids and serial numbers are unique', () => {
    const ids = [...demo.loans.map((loan) => loan.id), ...units.map(({ unit }) => unit.id)];
    expect(new Set(ids).size).toBe(ids.length);
    const serials = units.map(({ unit }) => unit.serial).filter((serial) => serial !== '');
    expect(new Set(serials).size).toBe(serials.length);
  });
});

/** The same loans seen from every day of a week: weekends move dates. */
const week = ['01', '02', '03', '04', '05', '06', '07'].flatMap((day) => {
  const today = `2026-03-${day}`;
  return demoScenario({ seed: 1, today }).loans.map((loan) => [loan.id, today, loan] as const);
});

describe('every loan tells one story', () => {
  it.each(week)('%s on %s', (_, today, loan) => {
    const order = loan.moves.map((move) => stages.indexOf(move.to));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(loan.moves.at(-1)?.to).toBe(loan.stage);
    const times = loan.moves.map((move) => move.at);
    expect(times).toEqual([...times].sort());
    // Nothing has happened after today.
    const happened = [
      ...times,
      ...loan.reports.map((report) => report.at),
      ...loan.listening.map((session) => session.heardOn),
      ...loan.units.flatMap((unit) => unit.sets.map((set) => set.takenAt)),
      loan.arrivedOn ?? '',
      loan.deliveredOn ?? '',
    ];
    for (const moment of happened) expect(moment.slice(0, 10) <= today).toBe(true);
    const arrival = loan.moves.find((move) => move.to === 'arrived');
    expect(loan.arrivedOn).toBe(arrival?.at.slice(0, 10) ?? null);
    const published = loan.moves.find((move) => move.to === 'published')?.at;
    expect(published === undefined || loan.embargoUntil === null || published >= loan.embargoUntil).toBe(
      true,
    );
    expect(published !== undefined).toBe(loan.publishedUrl !== null);
    const returned = loan.returnBy ?? '9999';
    expect((loan.arrivedOn ?? '') < returned).toBe(true);
    for (const session of loan.listening) {
      expect(loan.units.map((unit) => unit.id)).toContain(session.unitId);
      for (const remark of session.remarks) {
        expect(Remark.safeParse(remark).success).toBe(true);
        expect(remark.fromHz ?? 0).toBeLessThan(remark.toHz ?? 0);
      }
    }
    for (const report of loan.reports) {
      const unit = loan.units.find((candidate) => candidate.id === report.unitId);
      expect(report.serialSeen).toBe(unit?.serial);
    }
    for (const unit of loan.units) for (const set of unit.sets) expect(set.serial).toBe(unit.serial);
  });

  it('one is late and one has faults', () => {
    const late = demo.loans.find((loan) => loan.id === 'whin-15-loan');
    const daysLeft = (Date.parse(late?.returnBy ?? '') - Date.parse(TODAY)) / 86_400_000;
    expect(daysLeft).toBeLessThan((late?.freightDays ?? 0) + 4);
    expect(late?.listening).toEqual([]);
    const faulty = units.flatMap(({ unit }) => unit.sets.filter((set) => set.faults.length > 0));
    expect(faulty.map((set) => set.designId)).toEqual(['strand-7']);
  });

  it('each listened-to unit has a remark on what was planted in it', () => {
    for (const { loan, unit } of units) {
      const remarks = loan.listening
        .filter((session) => session.unitId === unit.id)
        .flatMap((session) => session.remarks);
      const heard = unit.planted.filter((feature) =>
        remarks.some(
          (remark) =>
            remark.sign !== 'neutral' &&
            (remark.fromHz ?? 0) <= feature.centreHz * 1.06 &&
            (remark.toHz ?? 0) >= feature.centreHz / 1.06,
        ),
      );
      expect(remarks.length === 0 || heard.length > 0).toBe(true);
    }
  });
});

describe('files and photographs', () => {
  it('a faulty set is its clean twin with the faults made', () => {
    const set = units.flatMap(({ unit }) => unit.sets).find((candidate) => candidate.faults.length > 0);
    if (!set) throw new Error('no faulty set');
    const clean = measurementSet(set.designId, { seed: 1, serial: set.serial });
    const faulty = demoSetFiles(set, 1);
    expect(faulty.length).toBe(clean.length - 1);
    const changed = faulty.filter((file) => {
      const twin = clean.find((candidate) => candidate.name === file.name);
      return !twin || Buffer.compare(Buffer.from(twin.bytes), Buffer.from(file.bytes)) !== 0;
    });
    expect(changed.map((file) => file.name).sort()).toEqual(['h+060.csv', 'h-020.csv', 'h-060.csv']);
  });

  it('photographs are small PNG drawings, captioned as invented', () => {
    expect(photographs.length).toBeGreaterThan(10);
    for (const photograph of photographs) expect(photograph.caption).toContain('invented');
    const views = new Map(photographs.map((photograph) => [photograph.subject.view, photograph.subject]));
    for (const subject of views.values()) {
      const png = photographPng(subject);
      expect(Buffer.from(png.slice(0, 4)).toString('hex')).toBe('89504e47');
      expect(png.length).toBeLessThan(60_000);
    }
    expect(views.size).toBe(4);
  });
});

describe('writeDemo', () => {
  it('writes the sets asked for', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'sojourn-demo-'));
    try {
      expect(await main([folder, '--unit', 'gravel-12', '--seed', '3'])).toBe(0);
      expect(await readdir(folder)).toEqual(['gravel-12']);
      expect(await readdir(join(folder, 'gravel-12'))).toContain('h+000.csv');
    } finally {
      await rm(folder, { recursive: true });
    }
  });

  it('names what is wrong with its arguments', async () => {
    expect(await main([])).toBe(2);
    expect(await main(['x', '--seed', 'many'])).toBe(2);
    expect(await main(['x', '--unit', 'nothing'])).toBe(2);
    expect(await main(['x', '--what'])).toBe(2);
  });
});
