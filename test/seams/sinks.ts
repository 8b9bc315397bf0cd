/** Where messages arrive in tests: a real SMTP server and a real HTTP receiver on this machine. */
import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';
import { SMTPServer } from 'smtp-server';

export interface Mail {
  readonly to: readonly string[];
  readonly headers: string;
  readonly body: string;
}
export interface MailSink {
  readonly url: string;
  readonly mails: readonly Mail[];
  close(): Promise<void>;
}

export async function openMailSink(): Promise<MailSink> {
  const mails: Mail[] = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS', 'AUTH'],
    onData: (stream, session, done) => {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', () => {
        const text = Buffer.concat(chunks).toString('utf8');
        const end = text.indexOf('\r\n\r\n');
        const to = session.envelope.rcptTo.map(({ address }) => address);
        mails.push({ to, headers: text.slice(0, end), body: text.slice(end + 4) });
        done();
      });
    },
  });
  const listening = server.listen(0, '127.0.0.1');
  await new Promise((resolve) => listening.once('listening', resolve));
  const { port } = listening.address() as AddressInfo;
  return {
    url: `smtp://127.0.0.1:${port}`,
    mails,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
}

export interface Hit {
  readonly path: string;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
  readonly at: number;
}
export interface Receiver {
  readonly url: string;
  readonly hits: readonly Hit[];
  close(): Promise<void>;
}

/** @param answer the status for a hit, 204 when it has nothing to say; a string redirects there */
export async function openReceiver(
  answer: (hit: Hit, hits: readonly Hit[]) => number | string = () => 204,
): Promise<Receiver> {
  const hits: Hit[] = [];
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const body = Buffer.concat(chunks).toString('utf8');
      const hit = { path: request.url ?? '', headers: request.headers, body, at: Date.now() };
      hits.push(hit);
      const said = answer(hit, hits);
      if (typeof said === 'string') response.writeHead(302, { location: said });
      else response.writeHead(said);
      response.end();
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    hits,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
}
