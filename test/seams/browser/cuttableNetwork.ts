/**
 * A wire between a browser and the server that can be cut: what is open breaks, what is new is refused, until it is
 * mended. The browser's own offline switch alone would leave open web sockets alive.
 */
import { once } from 'node:events';
import { connect, createServer, type Socket } from 'node:net';
import type { AddressInfo } from 'node:net';
import type { BrowserContext } from 'playwright-core';

export interface CuttableNetwork {
  /** The server as it is seen through this wire. */
  readonly url: string;
  cut(context: BrowserContext): Promise<void>;
  mend(context: BrowserContext): Promise<void>;
  /** From now on the wire breaks by itself once so many bytes went through towards the server; resolves then. */
  cutAfterBytes(bytes: number, context: BrowserContext): Promise<void>;
  /** What the server says waits on the wire, while what it is told goes through. @returns lets it through again */
  holdAnswers(): () => void;
  close(): Promise<void>;
}

export async function cuttableNetwork(serverUrl: string): Promise<CuttableNetwork> {
  const target = new URL(serverUrl);
  const open = new Set<Socket>();
  const answers = new Map<Socket, Socket>();
  let whole = true;
  let held = false;
  let onUpload: (bytes: number) => void = () => undefined;
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
    near.on('data', (chunk) => onUpload(chunk.length));
    near.pipe(far);
    answers.set(far, near);
    far.on('close', () => answers.delete(far));
    if (!held) far.pipe(near);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const breakAll = () => {
    whole = false;
    for (const socket of open) socket.destroy();
  };
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    cut: async (context) => {
      breakAll();
      await context.setOffline(true);
    },
    mend: async (context) => {
      whole = true;
      await context.setOffline(false);
    },
    cutAfterBytes: async (bytes, context) => {
      let left = bytes;
      await new Promise<void>((resolve) => {
        onUpload = (sent) => {
          left -= sent;
          if (left > 0) return;
          onUpload = () => undefined;
          breakAll();
          resolve();
        };
      });
      await context.setOffline(true);
    },
    holdAnswers: () => {
      held = true;
      for (const [far, near] of answers) far.unpipe(near);
      return () => {
        held = false;
        for (const [far, near] of answers) far.pipe(near);
      };
    },
    close: async () => {
      breakAll();
      server.close();
      await once(server, 'close');
    },
  };
}
