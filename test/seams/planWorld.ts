/** A house on a real database whose clock the test turns: days pass, crates come late, people fall ill. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { measurementPlanFor } from '../../libs/loan-life/index.js';
import { openDatabase, type Database } from '../../libs/store/database.js';
import { startEmbeddedDatabase } from '../../libs/store/embeddedDatabase.js';
import { openHome } from '../../libs/store/home.js';
import { migrate } from '../../libs/store/migrate.js';

const migrations = path.resolve(import.meta.dirname, '..', '..', 'prisma', 'migrations');

export interface PlanWorld {
  readonly database: Database;
  /** Everything but the house itself is gone, and a new team moves in. */
  moveIn(zone: string, people: readonly { name: string; timeZone: string }[]): Promise<void>;
  close(): Promise<void>;
}

export async function openPlanWorld(): Promise<PlanWorld> {
  const folder = await mkdtemp(path.join(tmpdir(), 'sojourn-world-'));
  const running = await startEmbeddedDatabase(await openHome(folder), () => undefined);
  await migrate(running.url, migrations);
  const database = openDatabase(running.url);
  return {
    database,
    moveIn: async (zone, people) => {
      await database.pool.query(
        `truncate "Booking", "Absence", "BusyCalendar", "Loan", "Unit", "Maker", "Account", "Installation", "Proposal",
         "StepRecord", "WorkTemplate" cascade`,
      );
      await database.pool.query(`update "PlanState" set "version" = 0, "acceptedAt" = null, "facts" = '{}'`);
      await database.pool.query(
        `update "PlanHouse" set "usualHours" = true, "usualLoudHours" = true, "holidays" = '[]'`,
      );
      await database.pool.query(`update "FeedCounter" set "number" = "number" + 1`);
      const { prisma } = database;
      await prisma.installation.create({
        data: { id: 1, name: 'The Heath Room (invented)', timeZone: zone },
      });
      for (const { name, timeZone } of people) {
        const email = `${name.toLowerCase()}@example.org`;
        await prisma.account.create({
          data: { name, email, timeZone, role: 'cohost', passwordHash: 'none' },
        });
      }
      await prisma.maker.create({ data: { name: 'Plover & Teal (invented)' } });
    },
    close: async () => {
      await database.close();
      await running.stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

const day = (iso: string): Date => new Date(`${iso}T00:00:00Z`);

export async function addLoan(
  { database }: PlanWorld,
  loan: {
    title: string;
    arrivalTo: string;
    returnBy: string;
    kind?: 'standmount' | 'floorstander' | 'subwoofer' | 'active';
    units?: number;
    massKg?: number;
    arrived?: boolean;
  },
): Promise<string> {
  const maker = await database.prisma.maker.findFirstOrThrow();
  const row = await database.prisma.loan.create({
    data: {
      makerId: maker.id,
      title: loan.title,
      stage: loan.arrived ? 'arrived' : 'agreed',
      requestedOn: day('2026-01-01'),
      arrivalFrom: day(loan.arrivalTo),
      arrivalTo: day(loan.arrivalTo),
      arrivedOn: loan.arrived ? day(loan.arrivalTo) : null,
      returnBy: day(loan.returnBy),
      units: {
        create: Array.from({ length: loan.units ?? 1 }, (_unused, at) => ({
          name: `${loan.title} ${at + 1}`,
          kind: loan.kind ?? ('standmount' as const),
          massKg: loan.massKg ?? null,
          plan: {
            create: measurementPlanFor(loan.kind ?? 'standmount').map((item, position) => ({
              ...item,
              position,
            })),
          },
        })),
      },
    },
  });
  return row.id;
}

export const toDate = day;
