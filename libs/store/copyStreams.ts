/** COPY as streams: a table's rows out of the database and into it, as PostgreSQL's own text, never all in memory. */
import { Readable, Writable, type Duplex } from 'node:stream';
import type pg from 'pg';

/** What a COPY needs of the driver's connection; its published types leave these out. */
interface CopyConnection {
  readonly stream: Duplex;
  query(text: string): void;
  sendCopyFromChunk(chunk: Buffer): void;
  endCopyFrom(): void;
}

const asCopyConnection = (connection: pg.Connection): CopyConnection =>
  connection as unknown as CopyConnection;

const countOf = (tag: string): number => Number(/^COPY (\d+)$/.exec(tag)?.[1] ?? 0);

/** `client.query(new CopyOut('copy … to stdout'))`; `rows` holds once it has ended. */
export class CopyOut extends Readable implements pg.Submittable {
  rows = 0;
  #connection: CopyConnection | undefined;

  constructor(private readonly text: string) {
    super();
  }

  submit(connection: pg.Connection): void {
    this.#connection = asCopyConnection(connection);
    this.#connection.query(this.text);
  }

  override _read(): void {
    this.#connection?.stream.resume();
  }

  override _destroy(error: Error | null, done: (error?: Error | null) => void): void {
    this.#letOthersRead();
    done(error);
  }

  handleCopyData({ chunk }: { chunk: Buffer }): void {
    // The driver uses its buffer again.
    if (!this.push(Buffer.from(chunk)) && !this.destroyed) this.#connection?.stream.pause();
  }

  handleCommandComplete({ text }: { text: string }): void {
    this.rows = countOf(text);
  }

  handleReadyForQuery(): void {
    this.push(null);
    this.#letOthersRead();
  }

  handleError(error: Error): void {
    this.destroy(error);
    this.#letOthersRead();
  }

  /** The last rows may have been more than was ready to take them: whoever asks next must hear its answer. */
  #letOthersRead(): void {
    this.#connection?.stream.resume();
  }
}

/** `client.query(new CopyIn('copy … from stdin'))`; finished once the database has taken every row. */
export class CopyIn extends Writable implements pg.Submittable {
  rows = 0;
  #connection: CopyConnection | undefined;
  #whenReady: (() => void) | undefined;
  #ready = false;
  #whenTaken: (() => void) | undefined;

  constructor(private readonly text: string) {
    super();
  }

  submit(connection: pg.Connection): void {
    this.#connection = asCopyConnection(connection);
    this.#connection.query(this.text);
  }

  handleCopyInResponse(): void {
    this.#ready = true;
    this.#whenReady?.();
  }

  override _write(chunk: Buffer, _encoding: string, done: () => void): void {
    this.#onceReady((connection) => {
      connection.sendCopyFromChunk(chunk);
      if (connection.stream.writableNeedDrain) connection.stream.once('drain', done);
      else done();
    });
  }

  override _final(done: () => void): void {
    this.#whenTaken = done;
    this.#onceReady((connection) => connection.endCopyFrom());
  }

  handleCommandComplete({ text }: { text: string }): void {
    this.rows = countOf(text);
  }

  handleReadyForQuery(): void {
    this.#whenTaken?.();
  }

  handleError(error: Error): void {
    this.destroy(error);
  }

  #onceReady(work: (connection: CopyConnection) => void): void {
    const go = () => {
      if (this.#connection) work(this.#connection);
    };
    if (this.#ready) go();
    else this.#whenReady = go;
  }
}
