/** The numbers of the feed as they come over a page's live connection, whatever the page makes of them. */
import type { Page } from 'playwright-core';
import type { FeedEvent, FollowReply, Room } from '../../../libs/contracts/index.js';

export interface FeedHeard {
  /** `from`: after which number this page (since it was last loaded) has followed the room. */
  of(room: Room): { readonly from: number; readonly numbers: ReadonlySet<number> };
}

/**
 * Must be called before the page is opened. Reads socket.io's packets, over a web socket or over polling: `42` an
 * event, `42N` one that wants an answer, `43N` that answer.
 */
export function feedHeard(page: Page): FeedHeard {
  let numbers = new Map<string, Set<number>>();
  let from = new Map<string, number>();
  const hear = ({ room, number }: FeedEvent) => {
    const known = numbers.get(room) ?? new Set();
    numbers.set(room, known.add(number));
  };
  const sent = (packet: string) => {
    const [, body = '[]'] = /^42\d+(\[.*\])$/s.exec(packet) ?? [];
    const [name, ask] = JSON.parse(body) as [string?, { room: string; after: number }?];
    if (name === 'follow' && ask) from.set(ask.room, Math.min(ask.after, from.get(ask.room) ?? Infinity));
  };
  const received = (packet: string) => {
    const [, kind = '', body = '[]'] = /^(42|43\d+)(\[.*\])$/s.exec(packet) ?? [];
    const content = JSON.parse(body) as ['event', FeedEvent] | [FollowReply];
    if (kind === '42' && content[0] === 'event') hear(content[1]);
    else if (kind.startsWith('43') && typeof content[0] === 'object' && content[0].ok)
      content[0].events.forEach(hear);
  };
  page.on('websocket', (socket) => {
    socket.on('framesent', ({ payload }) => sent(String(payload)));
    socket.on('framereceived', ({ payload }) => received(String(payload)));
  });
  const polls = (url: string) => url.includes('/api/socket/') && url.includes('transport=polling');
  const packets = (text: string) => text.split('\u001e');
  page.on('request', (request) => {
    if (request.isNavigationRequest() && request.frame() === page.mainFrame()) {
      numbers = new Map();
      from = new Map();
    }
    if (polls(request.url())) packets(request.postData() ?? '').forEach(sent);
  });
  page.on('response', (answer) => {
    if (!polls(answer.url())) return;
    // A poll that the page's own leaving cut short has no body any more.
    answer.text().then(
      (text) => packets(text).forEach(received),
      () => undefined,
    );
  });
  return { of: (room) => ({ from: from.get(room) ?? 0, numbers: numbers.get(room) ?? new Set() }) };
}
