/** Loans: their terms, their moves from stage to stage, their history. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type {
  AddLoan,
  ChangeLoan,
  HistoryView,
  LoansQuery,
  LoanSummary,
  LoanView,
  MoveLoan,
  PublishedQuery,
  Stage,
} from '../../../libs/contracts/index.js';
import { stageWords } from '../../../libs/contracts/index.js';
import { movesFrom, ruleOnMove, type LoanFacts, type MoveRuling } from '../../../libs/loan-life/index.js';
import { teamPlan } from '../../../libs/plan-keeping/index.js';
import {
  change,
  differences,
  findLoans,
  loanFacts,
  nothingSealed,
  openLoans,
  publishedLoans,
  sealedFrom,
  toDay,
  unitStates,
  writeVersion,
  type Change,
} from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { draftHouse } from '../drafts/draftHouse.js';
import { refuse, Refused } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { hideInConditions, hideInHistory, hideInLoan, hideInSummary } from '../listening/hideResults.js';
import { loadListening } from '../listening/listeningRows.js';
import { loadLoan, loadSummaries, openedUnits } from './loanRows.js';
import { presentHistory, presentLoan, presentSummary } from './present.js';
import { tellLoan } from './tellLoan.js';

type LoanFields = z.output<typeof ChangeLoan>;

@Injectable()
export class Loans {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async find(query: z.output<typeof LoansQuery>, by: SignedIn): Promise<LoanSummary[]> {
    return this.#summaries(await findLoans(this.config.database.prisma, query), by);
  }

  /** All that are open, the nearest return date first. */
  async open(by: SignedIn): Promise<LoanSummary[]> {
    return this.#summaries(await openLoans(this.config.database.prisma), by);
  }

  /** @param by whoever reads; without one, what no reader is told is left out by the caller */
  async #summaries(ids: readonly string[], by?: SignedIn): Promise<LoanSummary[]> {
    const { database } = this.config;
    const sealed = by ? await sealedFrom(database.prisma, by.id) : nothingSealed;
    const rows = await loadSummaries(database.prisma, ids);
    const states = await unitStates(database.prisma, { loanIds: ids });
    const plan = await teamPlan(database, new Date());
    return rows.map((row) => hideInSummary(presentSummary(row, states, plan), sealed));
  }

  /** What a supporter may see: reviews that are out. The team's plan and its holes stay inside. */
  async published(query: z.output<typeof PublishedQuery>): Promise<LoanSummary[]> {
    const out = await this.#summaries(await publishedLoans(this.config.database.prisma, query));
    return out.map((loan) => ({
      ...loan,
      plan: {
        ...loan.plan,
        sentence: '',
        steps: [],
        slackHours: null,
        slackWorkingDays: null,
        mustArriveBy: null,
        askExtensionTo: null,
      },
      units: loan.units.map((unit) => ({ ...unit, missing: 0, blocking: 0 })),
    }));
  }

  async one(id: string, by: SignedIn): Promise<LoanView> {
    const { database } = this.config;
    const loan = await loadLoan(database.prisma, id);
    const [states, facts, listening, plan, opened, sealed, house] = await Promise.all([
      unitStates(database.prisma, { loanIds: [id] }),
      loanFacts(database.prisma, id, new Date()),
      loadListening(database.prisma, { unit: { loanId: id } }),
      teamPlan(database, new Date()),
      openedUnits(database.prisma, by.id, { loanId: id }),
      sealedFrom(database.prisma, by.id),
      draftHouse(database.prisma),
    ]);
    const moves = movesFrom(facts, by.role === 'owner');
    return hideInLoan(presentLoan(loan, states, plan, moves, listening, opened, house), sealed, by.id);
  }

  async add(ask: z.output<typeof AddLoan>, by: SignedIn): Promise<LoanView> {
    const id = await change(this.config.database, by, async (made) => {
      const maker = await made.tx.maker.findUnique({ where: { id: ask.makerId } });
      if (!maker) throw refuse.notFound('maker');
      const { makerId, title, ...terms } = ask;
      const requestedOn = new Date(new Date().toISOString().slice(0, 10));
      const loan = await made.tx.loan.create({ data: { ...columns(terms), title, makerId, requestedOn } });
      tellLoan(made, loan, 'loan-added', `asked ${maker.name} for “${title}”`);
      return loan.id;
    });
    return this.one(id, by);
  }

  async change(id: string, ask: LoanFields, by: SignedIn): Promise<LoanView> {
    const { version, ...fields } = ask;
    await change(this.config.database, by, async (made) => {
      const written = await writeVersion<{ id: string; title: string; stage: Stage }>(
        made.tx.loan,
        id,
        version,
        columns(fields),
      );
      const difference = differences(written.before, written.after);
      const what = Object.keys(difference.after).map((key) => fieldWords[key] ?? key);
      tellLoan(made, written.after, 'loan-changed', `changed ${what.join(', ') || 'nothing'}`, difference);
    });
    return this.one(id, by);
  }

  async move(id: string, ask: z.output<typeof MoveLoan>, by: SignedIn): Promise<LoanView> {
    const now = new Date();
    await change(this.config.database, by, async (made) => {
      // Held until the commit: what the conditions were tested on cannot change under the move.
      await made.tx.$queryRaw`select 1 from "Loan" where "id" = ${id}::uuid for update`;
      const facts = await loanFacts(made.tx, id, now);
      const ruling = ruleOnMove(facts, ask.to, by.role === 'owner', ask.overrideReason);
      if (ruling.ruling === 'refused') {
        const hide = (await sealedFrom(made.tx, by.id)).loans.has(id);
        throw refusedMove(facts.stage, ask.to, ruling, hide);
      }
      const { after } = await writeVersion<{ id: string; title: string; stage: Stage }>(
        made.tx.loan,
        id,
        ask.version,
        { stage: ask.to, ...(await this.#marks(made, facts, ask.to, now)) },
      );
      const sentence = `moved the loan from ${stageWords[facts.stage].toLowerCase()} to ${stageWords[ask.to].toLowerCase()}`;
      const overridden = ruling.ruling === 'overridden';
      tellLoan(made, after, overridden ? 'loan-moved-by-override' : 'loan-moved', sentence, {
        before: { stage: facts.stage },
        after: { stage: ask.to },
        ...(overridden ? { reason: `${ruling.reason} (unmet: ${unmetOf(ruling).join(' ')})` } : {}),
      });
    });
    return this.one(id, by);
  }

  async history(loanId: string, by: SignedIn): Promise<HistoryView[]> {
    const { prisma } = this.config.database;
    const rows = await prisma.historyEntry.findMany({
      where: { loanId },
      orderBy: { at: 'desc' },
      take: 500,
    });
    const sealed = await sealedFrom(prisma, by.id);
    return presentHistory(rows).map((line) => hideInHistory(line, sealed));
  }

  /** What a move itself makes true. */
  async #marks(made: Change, facts: LoanFacts, to: Stage, now: Date): Promise<object> {
    const installation = await made.tx.installation.findUnique({ where: { id: 1 } });
    const today = new Date(now.toLocaleDateString('sv-SE', { timeZone: installation?.timeZone ?? 'UTC' }));
    if (to === 'agreed' && facts.stage === 'requested') return { termsAgreedAt: now };
    if (to === 'arrived' && facts.arrivedOn === null) return { arrivedOn: today };
    if (to === 'published') return { publishedAt: now };
    return {};
  }
}

const days = ['arrivalFrom', 'arrivalTo', 'returnBy', 'arrivedOn', 'deliveredOn'] as const;

/** The fields as their columns: days and instants as dates. */
function columns(fields: Partial<Omit<LoanFields, 'version'>>): object {
  const row: Record<string, unknown> = { ...fields };
  for (const key of days) if (key in fields) row[key] = toDay(fields[key]);
  if (typeof fields.embargoUntil === 'string') row['embargoUntil'] = new Date(fields.embargoUntil);
  return row;
}

const unmetOf = (ruling: { offer: { conditions: { met: boolean; sentence: string }[] } }): string[] =>
  ruling.offer.conditions.filter(({ met }) => !met).map(({ sentence }) => sentence);

function refusedMove(
  from: Stage,
  to: Stage,
  ruling: Extract<MoveRuling, { ruling: 'refused' }>,
  hide: boolean,
): Refused {
  if (ruling.why === 'no-such-way') {
    return refuse.wrong('no-such-move', `A loan does not go from ${stageWords[from]} to ${stageWords[to]}.`);
  }
  const known = ruling.offer?.conditions ?? [];
  const conditions = hide ? hideInConditions(known) : known;
  const unmet = conditions.filter(({ met }) => !met).map(({ sentence }) => sentence);
  return new Refused(ruling.why === 'may-not-override' ? 403 : 422, {
    code: ruling.why === 'may-not-override' ? 'may-not-override' : 'conditions-unmet',
    message: `Not yet: ${unmet.join(' ')}`,
    remedy:
      ruling.why === 'may-not-override'
        ? 'Only the owner may move a loan against its conditions.'
        : 'Settle the open points, or let the owner move it with a reason.',
    conditions,
  });
}

const fieldWords: Readonly<Record<string, string>> = {
  title: 'the title',
  arrivalFrom: 'the arrival window',
  arrivalTo: 'the arrival window’s end',
  arrivedOn: 'the day of arrival',
  returnBy: 'the return-by date',
  loanDays: 'the loan length',
  embargoUntil: 'the embargo',
  freightPayer: 'who pays the freight',
  freightDays: 'the days of freight',
  insuredValueMinor: 'the insured value',
  currency: 'the currency',
  makerMayComment: 'whether the maker may comment',
  makerCommentAgreed: 'whether the comment round is settled',
  keepUntilPublished: 'whether the unit stays until publication',
  carrier: 'the carrier',
  notes: 'the notes',
  publishedUrl: 'the published link',
  returnCarrier: 'the return carrier',
  returnTracking: 'the tracking number',
  deliveredOn: 'the day of delivery',
  deliveryConfirmedBy: 'who confirmed delivery',
  deliveryNote: 'the note on the delivery',
  outcome: 'the outcome',
};
