/**
 * Fills an empty installation with the invented demo. Loan by loan, each in one transaction that applies once:
 * killed in the middle it goes on where it was. Measurements go the ordinary way, through the queue.
 */
import { Inject, Injectable } from '@nestjs/common';
import { hash } from '@node-rs/argon2';
import { DEMO_PASSWORD } from '../../../libs/contracts/index.js';
import type { KeptBlob } from '../../../libs/blobs/blobStore.js';
import { change, DEMO_LOADED, requestAnalysis, theHouse, type Change } from '../../../libs/store/index.js';
import { demoScenario, photographPng, type DemoLoan, type DemoScenario } from '../../../seed/scenario.js';
import { COMPUTE_POOL } from '../tokens.js';
import type { ComputePool } from '../threads/computePool.js';
import { CONFIG, type WorkerConfig } from '../workerConfig.js';
import { addLoan, type KeptParts, type PeopleIds } from './demoLoan.js';

const SEED = 1;

@Injectable()
export class DemoLoading {
  constructor(
    @Inject(CONFIG) private readonly config: WorkerConfig,
    @Inject(COMPUTE_POOL) private readonly pool: ComputePool,
  ) {}

  async load({ ownerId }: { ownerId: string }): Promise<void> {
    const scenario = demoScenario({ seed: SEED, today: new Date().toISOString().slice(0, 10) });
    const people = await this.#addPeople(scenario, ownerId);
    const makers = await this.#addMakers(scenario);
    for (const loan of scenario.loans) {
      if (await this.#isLoaded(loan)) continue;
      const parts = await this.#keepParts(loan, scenario.seed);
      await this.#once(`demo:loan:${loan.id}`, async (made) => {
        const { setIds } = await addLoan(made, loan, makers.get(loan.makerId) ?? '', people, parts);
        for (const setId of setIds) await requestAnalysis(made, setId, this.config.recipe);
      });
    }
    await this.#once(DEMO_LOADED, async () => undefined);
  }

  async #addPeople(scenario: DemoScenario, ownerId: string): Promise<PeopleIds> {
    const { prisma } = this.config.database;
    const passwordHash = await hash(DEMO_PASSWORD);
    await this.#once('demo:people', async (made) => {
      for (const { email, name, role, timeZone } of scenario.team.people.filter(
        (person) => person.role !== 'owner',
      )) {
        await made.tx.account.create({ data: { email, name, role, timeZone, passwordHash, invented: true } });
      }
    });
    const rows = await prisma.account.findMany();
    return new Map(
      scenario.team.people.map(({ id, email, role }) => {
        const row = rows.find((one) => (role === 'owner' ? one.id === ownerId : one.email === email));
        if (!row) throw new Error(`The demo’s ${email} is missing.`);
        return [id, { id: row.id, name: row.name }] as const;
      }),
    );
  }

  async #addMakers(scenario: DemoScenario): Promise<ReadonlyMap<string, string>> {
    await this.#once('demo:makers', async (made) => {
      for (const { name, website, notes, contacts } of scenario.makers) {
        await made.tx.maker.create({
          data: { name, website, notes, invented: true, contacts: { create: [...contacts] } },
        });
      }
    });
    const rows = await this.config.database.prisma.maker.findMany({ where: { invented: true } });
    return new Map(
      scenario.makers.map(({ id, name }) => [id, rows.find((row) => row.name === name)?.id ?? '']),
    );
  }

  async #isLoaded(loan: DemoLoan): Promise<boolean> {
    const key = `demo:loan:${loan.id}`;
    return (await this.config.database.prisma.appliedEffect.count({ where: { key } })) > 0;
  }

  /** Files first: what the rows name is already in the store when they are committed. */
  async #keepParts(loan: DemoLoan, seed: number): Promise<KeptParts> {
    const keep = (bytes: Uint8Array): Promise<KeptBlob> => this.config.blobs.keep(bytes);
    const files = new Map<string, { name: string; blob: KeptBlob }[]>();
    for (const set of loan.units.flatMap((unit) => unit.sets)) {
      const made = await this.pool.makeDemoSet({ set, seed });
      const kept: { name: string; blob: KeptBlob }[] = [];
      for (const { name, bytes } of made) kept.push({ name, blob: await keep(bytes) });
      files.set(`${set.designId}/${set.name}`, kept);
    }
    const photographs = new Map<string, KeptBlob>();
    for (const { subject } of loan.reports.flatMap((report) => report.photographs)) {
      photographs.set(JSON.stringify(subject), await keep(photographPng(subject)));
    }
    return { files, photographs };
  }

  #once(key: string, work: (made: Change) => Promise<void>): Promise<void> {
    return change(this.config.database, theHouse, async (made) => {
      if (await made.once(key)) await work(made);
    });
  }
}
