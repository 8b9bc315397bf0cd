/**
 * Uploads that can be taken up again after a dropped connection, by the open tus protocol.
 *
 * An upload is whole before it is kept. If the server dies between the two, the next question for the upload, or
 * the next start, keeps it: what was accepted is never lost, and a mark per upload keeps it from being kept twice.
 */
import { AsyncLocalStorage } from 'node:async_hooks';
import { access, readdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { Inject, Injectable } from '@nestjs/common';
import { FileStore } from '@tus/file-store';
import { Server, type Upload } from '@tus/server';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { scopeWords, type Scope } from '../../../libs/contracts/index.js';
import type { SignedIn } from '../access/sessions.js';
import { Refused, diskFull, isDiskFull, refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { defaultLimits } from '../../../libs/measurement-files/limits.js';
import { sealedFrom } from '../../../libs/store/index.js';
import { Keeping } from './keeping.js';
import { UploadQuotas } from './uploadQuotas.js';

export const UPLOADS_PATH = '/api/uploads';
const KEPT_FOR_MS = 24 * 3600_000;
const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

@Injectable()
export class ResumableUploads {
  readonly #asking = new AsyncLocalStorage<SignedIn>();
  readonly #store: FileStore;
  readonly #server: Server;
  /** Uploads being kept now: a second question waits for the same answer. */
  readonly #keeping = new Map<string, Promise<string>>();

  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Keeping) private readonly keeping: Keeping,
    @Inject(UploadQuotas) private readonly quotas: UploadQuotas,
  ) {
    this.#store = new FileStore({
      directory: config.uploadsFolder,
      expirationPeriodInMilliseconds: KEPT_FOR_MS,
    });
    this.#server = new Server({
      path: UPLOADS_PATH,
      datastore: this.#store,
      relativeLocation: true,
      maxSize: defaultLimits.totalBytes,
      onUploadCreate: (_request, upload) => this.#begin(upload),
      onIncomingRequest: (request, id) => this.#check(request.method, id),
      onUploadFinish: async (request, upload) => ({
        // An upload whose bytes came with its creation must stay 201: only then does the answer carry its address,
        // without which the client takes it for lost.
        ...(request.method === 'POST' ? {} : { status_code: 200 }),
        body: await this.#keep(upload),
      }),
      onResponseError: (_request, error) => this.#explain(error),
    });
  }

  async handle(request: FastifyRequest, reply: FastifyReply, by: SignedIn): Promise<void> {
    reply.hijack();
    await this.#asking.run(by, () => this.#server.handle(request.raw, reply.raw));
  }

  /** At start: keep what was whole but not yet kept when the server died, and drop what has expired. */
  async recover(): Promise<void> {
    await this.#store.deleteExpired();
    for (const name of await readdir(this.config.uploadsFolder)) {
      if (!name.endsWith('.json')) continue;
      const id = name.slice(0, -'.json'.length);
      try {
        const upload = await this.#store.getUpload(id);
        if (upload.size !== undefined && upload.offset === upload.size) await this.#keep(upload);
      } catch (error) {
        this.config.report(error as Error, `upload ${id}`);
      }
    }
  }

  async #begin(upload: Upload): Promise<{ metadata: NonNullable<Upload['metadata']> }> {
    const by = this.#person();
    const { setId, reportId, proofOf, filename } = upload.metadata ?? {};
    const target = setId ?? reportId ?? proofOf;
    if (!target || !UUID.test(target) || !filename) {
      throw asTusError(
        refuse.wrong('upload-metadata', 'An upload names its set, report or loan, and its file name.'),
      );
    }
    insistOnUploadScope(by, setId === undefined ? 'loans' : 'measure');
    if (setId) await this.#refuseBlind(setId, by);
    await this.quotas
      .take(by, upload.size ?? defaultLimits.totalBytes, setId ?? undefined)
      .catch((error: unknown) => {
        throw error instanceof Refused ? asTusError(error) : error;
      });
    // Who began it is written by the server, so that it can be kept in their name after a restart.
    return {
      metadata: { ...upload.metadata, byId: by.id, byName: by.name, byEmail: by.email, byRole: by.role },
    };
  }

  async #refuseBlind(setId: string, by: SignedIn): Promise<void> {
    const { prisma } = this.config.database;
    const set = await prisma.measurementSet.findUnique({ where: { id: setId }, select: { unitId: true } });
    if (set && (await sealedFrom(prisma, by.id)).units.has(set.unitId)) throw asTusError(refuse.sealed());
  }

  async #check(method: string, id: string): Promise<void> {
    if (!id || method === 'POST' || method === 'OPTIONS') return;
    const upload = await this.#store.getUpload(id).catch(() => undefined);
    if (!upload) return;
    if (upload.metadata?.['byId'] !== this.#person().id)
      throw asTusError(refuse.forbidden('This upload is somebody else’s.'));
    if (method === 'HEAD' && upload.size !== undefined && upload.offset === upload.size)
      await this.#keep(upload);
  }

  #keep(upload: Upload): Promise<string> {
    const running = this.#keeping.get(upload.id);
    if (running) return running;
    const keeping = this.#keepOnce(upload).finally(() => this.#keeping.delete(upload.id));
    this.#keeping.set(upload.id, keeping);
    return keeping;
  }

  async #keepOnce(upload: Upload): Promise<string> {
    const file = path.join(this.config.uploadsFolder, upload.id);
    const mark = `${file}.kept`;
    const done = await access(mark).then(
      () => true,
      () => false,
    );
    if (done) return '{"kept":[],"problems":[]}';
    const { setId, reportId, proofOf, filename, byId, byName, byEmail, byRole, sha256, replace } =
      upload.metadata ?? {};
    const by = { id: byId, name: byName, email: byEmail, role: byRole, sessionHash: '' } as SignedIn;
    try {
      const answer = setId
        ? await this.keeping.keepForSet(setId, filename ?? '', file, by, {
            upload: upload.id,
            sha256: sha256 ?? undefined,
            neverReplace: replace === 'never',
          })
        : { kept: [], problems: [] };
      if (!setId && proofOf) await this.keeping.keepProof(proofOf, filename ?? '', file, by, upload.id);
      else if (!setId) await this.keeping.keepPhotograph(reportId ?? '', filename ?? '', file, by, upload.id);
      await writeFile(mark, '');
      return JSON.stringify(answer);
    } catch (error) {
      throw error instanceof Refused ? asTusError(error) : error;
    }
  }

  #explain(
    error: Error | { status_code: number; body: string },
  ): { status_code: number; body: string } | undefined {
    if ('status_code' in error) return error;
    this.config.report(error, 'upload');
    if (isDiskFull(error)) return { status_code: 507, body: JSON.stringify(diskFull) };
    return {
      status_code: 500,
      body: JSON.stringify({ code: 'fault', message: 'The upload could not be kept; send it again.' }),
    };
  }

  #person(): SignedIn {
    const by = this.#asking.getStore();
    if (!by) throw asTusError(refuse.signIn());
    return by;
  }
}

/** One address takes files of sets and photographs of crates: what a token may send shows only now. */
function insistOnUploadScope({ scopes }: SignedIn, needed: Scope): void {
  if (scopes === undefined || scopes.includes(needed)) return;
  throw asTusError(
    new Refused(403, {
      code: 'token-scope',
      message: 'This access token may not send this.',
      remedy: `Use one that may: ${scopeWords[needed].name}.`,
    }),
  );
}

/** The shape the protocol's library passes on to the client. */
function asTusError(refused: Refused): Error & { status_code: number; body: string } {
  return Object.assign(new Error(refused.message), {
    status_code: refused.status,
    body: JSON.stringify(refused.refusal),
  });
}
