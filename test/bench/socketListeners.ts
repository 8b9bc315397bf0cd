/**
 * Many open sockets in a process of their own. Says once that all are open, then for each event when the first and the
 * last of them had it, parsed.
 *
 *   KIND  `page`: the client of the pages, in the team's room, with the session of COOKIE; `raw`: a raw web socket that
 *         says what that client says, and takes apart no more than it must; `peer`: a raw web socket to the peer
 */
import { once } from 'node:events';
import { WebSocket } from 'ws';
import type { FeedEvent } from '../../libs/contracts/index.js';
import { follow, visit } from '../seams/visitor.js';
import { machineClock } from './forked.js';

const [kind, url = '', many = '', cookie = ''] = process.argv.slice(2);
const count = Number(many);
/** So many at once ask to be let in. */
const OPENING = 20;

let heard = 0;
let first = 0;

function hear(event: Pick<FeedEvent, 'type'>): void {
  if (event.type !== 'maker-changed') return;
  if (heard++ === 0) first = machineClock();
  if (heard < count) return;
  heard = 0;
  process.send?.({ first, last: machineClock() });
}

async function openPage(): Promise<void> {
  const { socket } = await follow(visit(url, cookie));
  socket.on('event', hear);
}

function openRaw(): Promise<void> {
  const socket = connect('/api/socket/?EIO=4&transport=websocket');
  return new Promise((resolve, reject) => {
    socket.once('error', reject);
    socket.on('message', (data: Buffer) => {
      const said = data.toString();
      // Engine.IO: 0 open, 2 ping, 3 pong, 4 message; Socket.IO in a message: 0 connect, 2 event, 3 answer.
      if (said.startsWith('42')) hear(eventOf(said.slice(2)));
      else if (said === '2') socket.send('3');
      else if (said.startsWith('0')) socket.send('40');
      else if (said.startsWith('40')) socket.send('420["follow",{"room":"team","after":0}]');
      else if (said.startsWith('430[{"ok":true')) resolve();
      else reject(new Error(`The server said ${said}.`));
    });
  });
}

async function openPeer(): Promise<void> {
  const socket = connect('');
  socket.on('message', (data: Buffer) => hear(eventOf(data.toString())));
  await once(socket, 'open');
}

const connect = (path: string): WebSocket =>
  new WebSocket(url.replace('http', 'ws') + path, { perMessageDeflate: false, headers: { cookie } });

const eventOf = (json: string): FeedEvent => (JSON.parse(json) as [string, FeedEvent])[1];

const open = kind === 'page' ? openPage : kind === 'raw' ? openRaw : openPeer;
for (let at = 0; at < count; at += OPENING)
  await Promise.all(Array.from({ length: Math.min(OPENING, count - at) }, open));
process.send?.('open');
