/** Exports: asked for, made in the background, downloaded by whoever asked and by nobody else. */
import { Inject, Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import type { ExportScope, ExportView } from '../../../libs/contracts/index.js';
import { change, hashOfKey, sealedFrom } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

@Injectable()
export class Exporting {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  async list(by: SignedIn): Promise<ExportView[]> {
    const rows = await this.config.database.prisma.accountExport.findMany({
      where: { accountId: by.id, OR: [{ expiresAt: null }, { expiresAt: { gt: new Date() } }] },
      orderBy: { askedAt: 'desc' },
    });
    return rows.map(({ id, scope, state, progress, bytes, reason, askedAt, expiresAt }) => ({
      id,
      scope: scope as ExportScope,
      state,
      progress,
      bytes: bytes === null ? null : Number(bytes),
      reason,
      askedAt: askedAt.toISOString(),
      expiresAt: expiresAt?.toISOString() ?? null,
    }));
  }

  async ask(scope: ExportScope, by: SignedIn): Promise<ExportView[]> {
    if (scope === 'team' && by.role !== 'owner')
      throw refuse.forbidden('Only the owner takes everything home.');
    await change(this.config.database, by, async (made) => {
      if (scope === 'team' && (await sealedFrom(made.tx, by.id)).units.size > 0) throw refuse.sealed();
      const running = await made.tx.accountExport.count({ where: { accountId: by.id, state: 'running' } });
      if (running > 0)
        throw refuse.wrong('export-running', 'An export is being made already.', 'Wait until it is there.');
      const { id } = await made.tx.accountExport.create({ data: { accountId: by.id, scope } });
      made.request('make-export', `export-${id}`, { exportId: id });
      const sentence =
        scope === 'team' ? 'asked for an export of everything' : 'asked for an export of their data';
      made.record({ action: 'export-asked', subject: 'export', subjectId: id, sentence });
    });
    return this.list(by);
  }

  async send(id: string, by: SignedIn, reply: FastifyReply): Promise<void> {
    const { database, blobs } = this.config;
    const row = await database.prisma.accountExport.findUnique({ where: { id } });
    // Another’s is not there either.
    if (row?.accountId !== by.id || row.fileKey === null || (row.expiresAt ?? new Date(0)) <= new Date())
      throw refuse.notFound('export');
    if (row.scope === 'team' && by.role !== 'owner') throw refuse.notFound('export');
    // What was made before they began to listen blind may hold the results; one's own made since leaves them out.
    const sealed = await database.prisma.listeningSession.count({
      where: {
        listenerId: by.id,
        sealedAt: null,
        begunBlind: true,
        givenUpAt: null,
        ...(row.scope === 'own' ? { createdAt: { gt: row.askedAt } } : {}),
      },
    });
    if (sealed > 0) throw refuse.sealed();
    const day = row.askedAt.toISOString().slice(0, 10);
    await reply
      .header('content-type', 'application/zip')
      .header('content-disposition', `attachment; filename="sojourn-${row.scope}-${day}.zip"`)
      .header('x-content-type-options', 'nosniff')
      .header('cache-control', 'private, no-store')
      .send(await blobs.stream(hashOfKey(row.fileKey)));
  }
}
