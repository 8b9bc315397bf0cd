/** A way between a server and its database or its Redis that can go dead: nothing comes through, nothing is closed. */
import { connect, createServer, type AddressInfo, type Socket } from 'node:net';

export interface Link {
  readonly port: number;
  /** Connections there are now never hear anything again; new ones work. */
  goDead(): void;
  close(): Promise<void>;
}

export async function openLink(targetPort: number): Promise<Link> {
  const pairs = new Set<readonly [Socket, Socket]>();
  const server = createServer((near) => {
    const far = connect(targetPort, '127.0.0.1');
    const pair = [near, far] as const;
    pairs.add(pair);
    const end = () => {
      pairs.delete(pair);
      near.destroy();
      far.destroy();
    };
    for (const socket of pair) socket.on('error', end).on('close', end);
    near.pipe(far);
    far.pipe(near);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    port: (server.address() as AddressInfo).port,
    goDead: () => {
      for (const pair of pairs) makeDeaf(pair);
    },
    close: async () => {
      for (const pair of pairs) for (const socket of pair) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** What arrives is taken and thrown away; that one end closes is not told to the other. */
function makeDeaf([near, far]: readonly [Socket, Socket]): void {
  near.unpipe(far);
  far.unpipe(near);
  for (const socket of [near, far]) {
    socket.removeAllListeners('close');
    socket.removeAllListeners('end');
    socket.removeAllListeners('error');
    socket.on('error', () => undefined);
    socket.resume();
  }
}
