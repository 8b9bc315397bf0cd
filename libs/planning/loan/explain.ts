import type { Board } from '../engine/board.js';
import { earliestAfter, type Link } from '../engine/instance.js';
import type { ClockWords } from './clockWords.js';
import type { LoanNetwork } from './network.js';
import type { HouseResources } from './resources.js';
import type { PlanLoansInput } from './types.js';

/** What keeps a session from starting earlier. */
export interface Binding {
  readonly words: string;
  /** The session of the same loan to look at next for the cause; -1 when the cause lies outside the loan. */
  readonly waitsFor: number;
}

/** Tells why every session starts no earlier, from the finished plan. */
export class Explainer {
  private readonly users: readonly (readonly number[])[];
  private readonly idle: ReturnType<HouseResources['profiles']>;

  constructor(
    private readonly input: PlanLoansInput,
    private readonly house: HouseResources,
    private readonly network: LoanNetwork,
    private readonly board: Board,
    private readonly pinned: Uint8Array,
    private readonly words: ClockWords,
  ) {
    this.users = usersByFinish(network, board);
    this.idle = house.profiles();
  }

  binding(task: number): Binding {
    const { board } = this;
    const start = board.start[task];
    if (start < 0) return { words: 'no room in the calendars', waitsFor: -1 };
    if (this.pinned[task]) return { words: `pinned to ${this.words.at(start)}`, waitsFor: -1 };
    const released = board.releasedAt(task);
    if (start <= released) return this.release(task, released);
    return this.busy(task, released, start) ?? this.closed(task, released, start) ?? this.kept(start);
  }

  private release(task: number, released: number): Binding {
    const { instance } = this.board;
    for (const link of instance.predecessors[task] ?? []) {
      if (!this.board.isPlaced(link.task)) continue;
      const finish = this.board.finish(link.task);
      if (earliestAfter(instance, link, finish) !== released) continue;
      return { words: this.waitWords(task, link, finish), waitsFor: link.task };
    }
    const { earliestWhy } = this.network.tasks[task];
    return { words: `cannot start before ${this.words.at(released)}: ${earliestWhy}`, waitsFor: -1 };
  }

  private waitWords(task: number, link: Link, finish: number): string {
    const { step } = this.network.tasks[link.task];
    const own = this.network.tasks[task];
    if (link.nextDay && step === own.step) return `the next session of "${step.label}" is for another day`;
    return `waits for "${step.label}", until ${this.words.at(finish)}`;
  }

  /** The last booking in the way on a person or place this session takes. */
  private busy(task: number, released: number, start: number): Binding | null {
    let found: { rival: number; resource: number; finish: number } | null = null;
    for (const { resource } of this.board.demands(task, this.board.alternative[task])) {
      if (!this.house.isTaken(resource)) continue;
      const rival = lastFinishing(this.users[resource] ?? [], this.board, start, task);
      const finish = rival < 0 ? -1 : this.board.finish(rival);
      if (finish > released && finish > (found?.finish ?? -1)) found = { rival, resource, finish };
    }
    if (!found) return null;
    const { step, loan } = this.network.tasks[found.rival];
    const own = this.network.tasks[task].loan === loan;
    const whose = own ? '' : ` of ${this.input.loans[loan]?.title ?? ''}`;
    const name = this.house.name(found.resource);
    const words = `${name} is busy with "${step.label}"${whose} until ${this.words.at(found.finish)}`;
    return { words, waitsFor: own ? found.rival : -1 };
  }

  /** Nobody's booking is in the way: the hours are. */
  private closed(task: number, released: number, start: number): Binding | null {
    const duration = this.board.instance.duration[task];
    let latest = released;
    let limiting = -1;
    for (const { resource, units } of this.board.demands(task, this.board.alternative[task])) {
      const fit = this.idle[resource]?.earliestFit(released, duration, units) ?? released;
      if (fit > latest) {
        latest = fit;
        limiting = resource;
      }
    }
    if (limiting < 0 || latest > start) return null;
    const name = this.house.name(limiting);
    const open = this.idle[limiting]?.earliestFit(released, 1, 1) ?? released;
    const words =
      open > released
        ? `outside the hours of ${name} until ${this.words.at(open)}`
        : `too long for what is left of the day of ${name}: next from ${this.words.at(latest)}`;
    return { words, waitsFor: this.release(task, released).waitsFor };
  }

  private kept(start: number): Binding {
    return { words: `kept where it was, ${this.words.at(start)}`, waitsFor: -1 };
  }
}

function usersByFinish(network: LoanNetwork, board: Board): number[][] {
  const users: number[][] = network.instance.resourceIds.map(() => []);
  network.tasks.forEach((_, task) => {
    if (!board.isPlaced(task)) return;
    for (const { resource } of board.demands(task, board.alternative[task])) users[resource]?.push(task);
  });
  for (const list of users) list.sort((a, b) => board.finish(a) - board.finish(b) || a - b);
  return users;
}

/** The last task in a list by finish that is over by a time; -1 when none is. */
function lastFinishing(users: readonly number[], board: Board, by: number, except: number): number {
  let low = 0;
  let high = users.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (board.finish(users[middle]) <= by) low = middle + 1;
    else high = middle;
  }
  for (let at = low - 1; at >= 0; at -= 1) if (users[at] !== except) return users[at];
  return -1;
}
