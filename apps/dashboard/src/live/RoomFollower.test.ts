import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { FeedEvent, FollowReply } from '../contracts.js';
import { RoomFollower } from './RoomFollower.js';

const event = (number: number): FeedEvent => ({
  number,
  at: '2026-03-04T12:00:00Z',
  room: 'team',
  type: 'loan-changed',
  payload: { loanId: `l${number}`, title: '', stage: 'agreed', by: '', sentence: '' },
});

/** A server with a feed in which some numbers belong to other rooms, and pages of a few events. */
class Feed {
  readonly events: FeedEvent[] = [];
  number = 0;
  asks = 0;
  failAsks = 0;
  readonly page: number;
  constructor(page = 3) {
    this.page = page;
  }
  add(forThisRoom = true): FeedEvent | null {
    this.number += 1;
    if (!forThisRoom) return null;
    const made = event(this.number);
    this.events.push(made);
    return made;
  }
  reply(after: number): FollowReply {
    this.asks += 1;
    if (this.failAsks-- > 0) throw new Error('no answer');
    const all = this.events.filter((e) => e.number > after);
    const events = all.slice(0, this.page);
    const more = all.length > events.length;
    return { ok: true, events, more, upTo: more ? (events.at(-1)?.number ?? after) : this.number };
  }
}

function following(feed: Feed, after = 0) {
  const got: number[] = [];
  const missed: number[] = [];
  const follower = new RoomFollower(
    {
      room: 'team',
      ask: async (_room, last) => {
        await Promise.resolve();
        return feed.reply(last);
      },
      deliver: (events, count) => {
        got.push(...events.map((e) => e.number));
        missed.push(count);
      },
      pause: () => Promise.resolve(),
    },
    after,
  );
  return { follower, got, missed };
}

describe('following a room', () => {
  it('catches up over several pages, then takes what comes', async () => {
    const feed = new Feed(2);
    for (let i = 0; i < 5; i++) feed.add();
    const { follower, got, missed } = following(feed, 1);
    await follower.connected();
    expect(got).toEqual([2, 3, 4, 5]);
    expect(missed).toEqual([4]);
    follower.receive(feed.add()!);
    expect(got).toEqual([2, 3, 4, 5, 6]);
  });

  it('takes an event once when it comes both by itself and in the answer', async () => {
    const feed = new Feed();
    const { follower, got } = following(feed);
    const both = feed.add()!;
    const asked = follower.connected();
    follower.receive(both);
    await asked;
    follower.receive(both);
    expect(got).toEqual([1]);
  });

  it('does not jump over missed events when a newer one comes while it catches up', async () => {
    const feed = new Feed(1);
    feed.add();
    feed.add();
    const { follower, got } = following(feed);
    const asked = follower.connected();
    follower.receive(event(9));
    await asked;
    expect(got).toEqual([1, 2, 9]);
  });

  it('asks again after a lost answer, and stops when it may not follow', async () => {
    const feed = new Feed();
    feed.add();
    feed.failAsks = 2;
    const { follower, got } = following(feed);
    await follower.connected();
    expect([got, feed.asks]).toEqual([[1], 3]);

    const refused = new RoomFollower(
      {
        room: 'team',
        ask: () => Promise.resolve({ ok: false, code: 'not-allowed', message: '' }),
        deliver: () => expect.unreachable(),
        pause: () => Promise.resolve(),
      },
      0,
    );
    await refused.connected();
    expect(refused.last).toBe(0);
  });

  it('has no gap and no double over random cuts, pages, other rooms and repeats', async () => {
    const step = fc.oneof(
      fc.constant('event'),
      fc.constant('other'),
      fc.constant('cut'),
      fc.constant('join'),
      fc.constant('repeat'),
      fc.constant('breathe'),
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(step, { maxLength: 60 }),
        fc.integer({ min: 1, max: 4 }),
        async (steps, page) => {
          const feed = new Feed(page);
          const { follower, got } = following(feed);
          let joined = false;
          const asks: Promise<void>[] = [];
          for (const now of steps) {
            if (now === 'event' || now === 'other') {
              const made = feed.add(now === 'event');
              if (joined && made) follower.receive(made);
            } else if (now === 'cut' && joined) {
              joined = false;
              follower.disconnected();
            } else if (now === 'join' && !joined) {
              joined = true;
              asks.push(follower.connected());
            } else if (now === 'repeat' && joined) {
              const again = feed.events.at(-1);
              if (again) follower.receive(again);
            } else await Promise.resolve();
          }
          if (!joined) asks.push(follower.connected());
          await Promise.all(asks);
          expect(got).toEqual(feed.events.map((e) => e.number));
        },
      ),
      { numRuns: 300 },
    );
  });
});
