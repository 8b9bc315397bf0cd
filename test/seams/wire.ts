/** A wire between a program and the server that can be cut, and put to another server. */
import { once } from 'node:events';
import { connect, createServer, type AddressInfo, type Socket } from 'node:net';

export interface Wire {
  readonly url: string;
  /** Bytes that went towards the server so far. */
  readonly sentBytes: () => number;
  /** What is open breaks, what is new is refused. */
  cut(): void;
  mend(): void;
  /** From now on it breaks by itself once so many bytes went through; resolves then. */
  cutAfterBytes(bytes: number): Promise<void>;
  /** Where it leads from now on: a server that was started again has another address. */
  leadTo(serverUrl: string): void;
  close(): Promise<void>;
}

export async function openWire(serverUrl: string): Promise<Wire> {
  let target = new URL(serverUrl);
  let whole = true;
  let sent = 0;
  let onSent: () => void = () => undefined;
  const open = new Set<Socket>();
  const server = createServer((near) => {
    if (!whole) return void near.destroy();
    const far = connect(Number(target.port), target.hostname);
    for (const [one, other] of [
      [near, far],
      [far, near],
    ] as const) {
      open.add(one);
      one.on('error', () => one.destroy());
      one.on('close', () => {
        open.delete(one);
        other.destroy();
      });
    }
    near.on('data', (chunk) => {
      sent += chunk.length;
      onSent();
    });
    near.pipe(far);
    far.pipe(near);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const cut = () => {
    whole = false;
    for (const socket of open) socket.destroy();
  };
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    sentBytes: () => sent,
    cut,
    mend: () => void (whole = true),
    cutAfterBytes: (bytes) => {
      const until = sent + bytes;
      return new Promise((resolve) => {
        onSent = () => {
          if (sent < until) return;
          onSent = () => undefined;
          cut();
          resolve();
        };
      });
    },
    leadTo: (url) => void (target = new URL(url)),
    close: async () => {
      cut();
      server.close();
      await once(server, 'close');
    },
  };
}
