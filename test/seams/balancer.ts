/**
 * A plain balancer: each request, and each socket, goes to the next server, whoever asks. What a server does not take
 * because it is not there goes to the other one; nothing is sent twice once a server has taken it.
 */
import { createServer, request, type IncomingMessage, type ServerResponse } from 'node:http';
import { connect, type AddressInfo } from 'node:net';
import type { Duplex } from 'node:stream';

export interface Balancer {
  readonly url: string;
  stop(): Promise<void>;
}

export async function startBalancer(servers: () => readonly string[]): Promise<Balancer> {
  let turn = 0;
  const inTurn = (): string[] => {
    const all = servers();
    const first = turn++ % all.length;
    return [...all.slice(first), ...all.slice(0, first)];
  };
  const balancer = createServer((asked, answer) => pass(asked, answer, inTurn()));
  balancer.on('upgrade', (asked: IncomingMessage, socket: Duplex, head: Buffer) =>
    passSocket(asked, socket, head, inTurn()),
  );
  // A client’s idle connection is its own to close: on a busy machine the two would meet on the way.
  balancer.keepAliveTimeout = 300_000;
  await new Promise<void>((resolve) => balancer.listen(0, '127.0.0.1', resolve));
  const { port } = balancer.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}`,
    stop: async () => {
      balancer.closeAllConnections();
      await new Promise((resolve) => balancer.close(resolve));
    },
  };
}

function pass(asked: IncomingMessage, answer: ServerResponse, [server, ...others]: readonly string[]): void {
  if (server === undefined) {
    answer
      .writeHead(502, { 'content-type': 'application/json' })
      .end('{"code":"away","message":"No server answers."}');
    return;
  }
  const { method, url, headers } = asked;
  const passed = request(new URL(url ?? '/', server), { method: method ?? 'GET', headers, agent: false });
  let connected = false;
  passed.on('socket', (socket) =>
    socket.once('connect', () => {
      connected = true;
      asked.pipe(passed);
    }),
  );
  passed.on('response', (given) => {
    answer.writeHead(given.statusCode ?? 502, given.headers);
    given.pipe(answer);
    given.on('error', () => answer.destroy());
  });
  passed.on('error', () => {
    if (!connected) pass(asked, answer, others);
    else answer.destroy();
  });
  answer.on('close', () => passed.destroy());
}

function passSocket(
  asked: IncomingMessage,
  socket: Duplex,
  head: Buffer,
  [server, ...others]: readonly string[],
): void {
  if (server === undefined) {
    socket.destroy();
    return;
  }
  const { hostname, port } = new URL(server);
  const passed = connect(Number(port), hostname);
  let connected = false;
  passed.once('connect', () => {
    connected = true;
    const lines = asked.rawHeaders.flatMap((name, at, all) =>
      at % 2 === 0 ? [`${name}: ${all[at + 1]}`] : [],
    );
    passed.write(`${asked.method} ${asked.url} HTTP/1.1\r\n${lines.join('\r\n')}\r\n\r\n`);
    passed.write(head);
    passed.pipe(socket).pipe(passed);
  });
  passed.on('error', () => {
    if (!connected) passSocket(asked, socket, head, others);
    else socket.destroy();
  });
  socket.on('error', () => passed.destroy());
}
