/**
 * Follows one room of the feed: every event reaches the page once and in the order of its number, whatever the
 * connection does.
 *
 * The server puts the socket into the room before it reads the feed, so an event may come both in the answer and by
 * itself. While catching up, events that come by themselves are held back; when the answer says there is no more,
 * the held ones it did not contain follow, in order.
 */
import type { FeedEvent, FollowReply, Room } from '../contracts.js';

export interface FollowerDoors {
  readonly room: Room;
  /** Sends `follow` and gives the server's answer; rejects when none comes. */
  readonly ask: (room: Room, after: number) => Promise<FollowReply>;
  /** Receives events in order; `missed` counts those that were caught up on together. */
  readonly deliver: (events: readonly FeedEvent[], missed: number) => void;
  /** Waits before asking again after a failed ask. */
  readonly pause: (attempt: number) => Promise<void>;
}

export class RoomFollower {
  readonly #doors: FollowerDoors;
  #last: number;
  #held: FeedEvent[] = [];
  #catchingUp = false;
  /** Rises with each connection; an answer from an earlier one is ignored. */
  #connection = 0;

  /** @param after the number the page's first answers already include */
  constructor(doors: FollowerDoors, after: number) {
    this.#doors = doors;
    this.#last = after;
  }

  get last(): number {
    return this.#last;
  }

  /** The connection stands (again): ask for everything after the last number. */
  async connected(): Promise<void> {
    const connection = ++this.#connection;
    this.#catchingUp = true;
    const missed: FeedEvent[] = [];
    for (let attempt = 0; connection === this.#connection;) {
      const reply = await this.#tryAsk(missed.at(-1)?.number ?? this.#last, attempt);
      if (connection !== this.#connection) return;
      if (reply === null) {
        attempt += 1;
        continue;
      }
      if (!reply.ok) return this.#refused();
      attempt = 0;
      missed.push(...reply.events);
      if (!reply.more) return this.#caughtUp(missed, reply.upTo);
    }
  }

  /** The connection is gone; what was held will come again in the next answer. */
  disconnected(): void {
    this.#connection += 1;
    this.#held = [];
  }

  /** An event came by itself. */
  receive(event: FeedEvent): void {
    if (this.#catchingUp) this.#held.push(event);
    else this.#pass([event], 0);
  }

  async #tryAsk(after: number, attempt: number): Promise<FollowReply | null> {
    if (attempt > 0) await this.#doors.pause(attempt);
    return this.#doors.ask(this.#doors.room, after).catch(() => null);
  }

  #refused(): void {
    this.#catchingUp = false;
    this.#held = [];
  }

  #caughtUp(missed: readonly FeedEvent[], upTo: number): void {
    const held = this.#held;
    this.#held = [];
    this.#catchingUp = false;
    this.#pass(missed, missed.length);
    this.#last = Math.max(this.#last, upTo);
    this.#pass(held, 0);
  }

  #pass(events: readonly FeedEvent[], missed: number): void {
    const fresh: FeedEvent[] = [];
    for (const event of [...events].sort((a, b) => a.number - b.number)) {
      if (event.number <= this.#last) continue;
      this.#last = event.number;
      fresh.push(event);
    }
    if (fresh.length > 0) this.#doors.deliver(fresh, missed);
  }
}
