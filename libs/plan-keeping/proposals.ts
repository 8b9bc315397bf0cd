/** Plans worked out, shown, and accepted as they were seen or not at all. */
import type { PlanView, ProposalView } from '../contracts/index.js';
import type { Booking } from '../planning/planLoans.js';
import {
  change,
  json,
  NotFound,
  StaleVersion,
  type Actor,
  type Change,
  type Database,
} from '../store/index.js';
import { applyBookings, type BookingWrite } from './applyPlan.js';
import { housePlan, type BookingMove, type HousePlan, type PlannedBooking } from './housePlan.js';
import { SLOT_MS } from './loanTemplates.js';
import { engineBooking, planInput, type PlanInput } from './planInput.js';
import { loadNames, planView } from './planViews.js';
import { teamPlan, type TeamPlan } from './teamPlan.js';

/** A booking somebody drags elsewhere, to be pinned there. */
export interface WantedMove {
  readonly bookingId: string;
  readonly start: Date;
  readonly people?: readonly string[] | undefined;
}

/** As kept in the table: what the rows were and what they should become, and how it was shown. */
interface ProposalContent {
  readonly writes: readonly KeptWrite[];
  readonly facts: TeamPlan['facts'];
  readonly view: PlanView;
}
interface KeptWrite {
  readonly id: string | null;
  readonly next: KeptBooking | null;
}
type KeptBooking = Omit<PlannedBooking, 'start' | 'finish'> & {
  readonly start: string;
  readonly finish: string;
};

export class PinImpossible extends Error {
  readonly code = 'pin-impossible';
}
/** Somebody changed the plan, or something happened, since the proposal was made. */
export class ProposalOutdated extends Error {
  readonly code = 'plan-changed';
  readonly current: ProposalView;
  readonly sent: ProposalView;
  constructor(current: ProposalView, sent: ProposalView) {
    super('The plan, or what it rests on, has changed since this proposal was made. Nothing was changed.');
    this.current = current;
    this.sent = sent;
  }
}

export async function makeProposal(
  database: Database,
  by: Actor,
  now: Date,
  moves: readonly WantedMove[] = [],
): Promise<ProposalView> {
  const team = await teamPlan(database, now);
  const house = moves.length === 0 ? team.house : await planWithMoves(database, now, moves);
  const names = await loadNames(database.prisma);
  const view = planView({ ...team, house }, names);
  const content: ProposalContent = { writes: house.changes.map(keep), facts: team.facts, view };
  const row = await database.prisma.proposal.create({
    data: {
      planVersion: team.version,
      factsHash: team.factsHash,
      content: json(content),
      madeBy: by.id,
      madeAt: now,
    },
  });
  return proposalView(row);
}

export async function loadProposal(database: Database, id: string): Promise<ProposalView> {
  return proposalView(await proposalRow(database, id));
}

export async function clearProposals(database: Database, madeBefore: Date): Promise<void> {
  await database.prisma.proposal.deleteMany({ where: { madeAt: { lt: madeBefore } } });
}

async function proposalRow(database: Database, id: string): Promise<ProposalRow> {
  const row = await database.prisma.proposal.findUnique({ where: { id } });
  if (!row) throw new NotFound('That proposal is not there (any more). Make a new one.');
  return row;
}

interface ProposalRow {
  readonly id: string;
  readonly planVersion: number;
  readonly factsHash: string;
  readonly content: unknown;
  readonly madeAt: Date;
  readonly acceptedAt: Date | null;
}

function proposalView(row: ProposalRow): ProposalView {
  const { view } = row.content as ProposalContent;
  return { ...view, id: row.id, madeAt: row.madeAt.toISOString(), accepted: row.acceptedAt !== null };
}

async function planWithMoves(
  database: Database,
  now: Date,
  moves: readonly WantedMove[],
): Promise<HousePlan> {
  const input = await planInput(database.prisma, now);
  const wanted = moves.map((move) => ({ move, booking: wantedBooking(input, move) }));
  const ids = wanted.map(({ booking }) => booking.id);
  const house = await housePlan({
    ...input,
    engine: {
      ...input.engine,
      // What is wanted comes first: what it displaces is planned around it.
      previous: [
        ...wanted.map(({ booking }) => booking),
        ...(input.engine.previous ?? []).filter(({ id }) => !ids.includes(id)),
      ],
    },
  });
  for (const { booking } of wanted) {
    const problem = house.problems.find(
      ({ code, bookingId }) => bookingId === booking.id && code.startsWith('pin-'),
    );
    if (problem) throw new PinImpossible(problem.message);
  }
  return house;
}

/** The booking as the engine is to pin it. */
export function wantedBooking(input: PlanInput, move: WantedMove): Booking {
  for (const [key, { movable }] of input.standings) {
    const at = movable.findIndex(({ id }) => id === move.bookingId);
    const row = movable[at];
    if (!row) continue;
    const held = engineBooking(key, row, at);
    const places = input.calendars.places.map((place) => place.id);
    const people = move.people ?? held.resourceIds.filter((one) => !places.includes(one));
    return {
      ...held,
      start: move.start.toISOString(),
      finish: new Date(move.start.getTime() + row.finish.getTime() - row.start.getTime()).toISOString(),
      resourceIds: [...people, ...held.resourceIds.filter((one) => places.includes(one))],
      pinned: true,
    };
  }
  throw new NotFound('That booking cannot be planned anew: it is under way, over or no longer there.');
}

const keep = ({ row, next }: BookingMove): KeptWrite => ({
  id: row?.id ?? null,
  next: next && { ...next, start: next.start.toISOString(), finish: next.finish.toISOString() },
});

/**
 * Makes a proposal the plan in force, in one transaction.
 * @throws ProposalOutdated with a fresh proposal when the plan or its facts have changed since
 */
export async function acceptProposal(
  database: Database,
  by: Actor,
  id: string,
  version: number,
  now: Date,
): Promise<void> {
  const row = await proposalRow(database, id);
  // Asked twice (a lost answer): it is in force already.
  if (row.acceptedAt !== null) return;
  const { writes, facts, view } = row.content as ProposalContent;
  const outdated = async () => new ProposalOutdated(await makeProposal(database, by, now), proposalView(row));
  const team = await teamPlan(database, now);
  const passed = writes.some(({ next }) => next && Date.parse(next.start) < now.getTime() - SLOT_MS);
  if (version !== row.planVersion || team.version !== row.planVersion) throw await outdated();
  if (team.factsHash !== row.factsHash || passed) throw await outdated();
  try {
    await change(database, by, async (made) => {
      await lockPlan(made, row.planVersion);
      await applyBookings(made, writes.map(revive), now);
      await made.tx.planState.update({
        where: { id: 1 },
        data: {
          version: { increment: 1 },
          acceptedAt: now,
          acceptedBy: by.id,
          acceptedByName: by.name,
          facts: json(facts),
        },
      });
      await made.tx.proposal.update({ where: { id }, data: { acceptedAt: now } });
      tellPlan(made, row.planVersion + 1, loansOf(view), `accepted the plan: ${countWords(view)}`, view);
    });
  } catch (error) {
    if (error instanceof StaleVersion) throw await outdated();
    throw error;
  }
}

function revive({ id, next }: KeptWrite): BookingWrite {
  return { id, next: next && { ...next, start: new Date(next.start), finish: new Date(next.finish) } };
}

/** One at a time changes the plan in force. @throws StaleVersion when it is no longer the version seen */
export async function lockPlan(made: Change, version: number): Promise<void> {
  const locked = await made.tx.$queryRaw<{ version: number }[]>`
    select "version" from "PlanState" where "id" = 1 for update`;
  const current = locked[0]?.version ?? 0;
  if (current !== version) throw new StaleVersion({ version: current });
}

export function tellPlan(
  made: Change,
  version: number,
  loanIds: readonly string[],
  sentence: string,
  shown?: PlanView,
): void {
  made.record({
    action: 'plan-changed',
    subject: 'plan',
    subjectId: '1',
    loanId: loanIds.length === 1 ? (loanIds[0] ?? null) : null,
    sentence,
    ...(shown
      ? {
          after: {
            changes: shown.changes.map((one) => one.sentence),
            causes: shown.causes.map((one) => one.sentence),
          },
        }
      : {}),
  });
  made.publish('team', 'plan-changed', { version, loanIds: [...loanIds], by: made.actor.name, sentence });
}

const loansOf = ({ changes }: PlanView): string[] => [...new Set(changes.map(({ loanId }) => loanId))];

export function countWords({ changes }: Pick<PlanView, 'changes'>): string {
  const words = (
    [
      ['added', 'new'],
      ['moved', 'moved'],
      ['reassigned', 'reassigned'],
      ['removed', 'dropped'],
    ] as const
  ).flatMap(([kind, word]) => {
    const count = changes.filter(({ change }) => change === kind).length;
    return count === 0 ? [] : [`${count} ${word}`];
  });
  return words.length === 0 ? 'nothing moves' : words.join(', ');
}
