/**
 * The peer of `sockets.ts`: the barest server that keeps what is written and tells it to every open web socket. It asks
 * nobody who they are, keeps no history and hands the same bytes to all.
 */
import { createServer, type IncomingMessage } from 'node:http';
import type { AddressInfo } from 'node:net';
import { json } from 'node:stream/consumers';
import pg from 'pg';
import { WebSocketServer } from 'ws';
import type { FeedEvent } from '../../libs/contracts/index.js';

const pool = new pg.Pool({ connectionString: process.argv[2] });
await pool.query(`create schema if not exists bench;
  create table bench.event ("number" bigserial primary key, "at" timestamptz(3) not null default now(),
    "room" text not null, "type" text not null, "payload" jsonb not null)`);

const http = createServer((request, response) => {
  keepAndTell(request).then(
    (said) => response.setHeader('content-type', 'application/json').end(said),
    (error: Error) => response.writeHead(500).end(error.message),
  );
});
const sockets = new WebSocketServer({ server: http, perMessageDeflate: false });

async function keepAndTell(request: IncomingMessage): Promise<Buffer> {
  const payload = await json(request);
  const { rows } = await pool.query<FeedEvent>({
    name: 'keep',
    text: `insert into bench.event ("room", "type", "payload") values ('team', 'maker-changed', $1)
           returning "number"::int, "at", "room", "type", "payload"`,
    values: [payload],
  });
  const bytes = Buffer.from(JSON.stringify(['event', rows[0]]));
  for (const socket of sockets.clients) socket.send(bytes, { binary: false });
  return bytes;
}

http.listen(0, '127.0.0.1', () => {
  process.send?.(`http://127.0.0.1:${(http.address() as AddressInfo).port}`);
});
