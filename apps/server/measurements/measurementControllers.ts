/** The routes of measurement sets, files, uploads and analyses. */
import { randomUUID } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { Transform, type Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { All, Controller, Inject, Param, Req, Res, SetMetadata } from '@nestjs/common';
import {
  ApiBody,
  ApiConsumes,
  ApiExcludeEndpoint,
  ApiExtension,
  ApiOperation,
  ApiQuery,
  ApiTags,
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import { defaultLimits } from '../../../libs/measurement-files/limits.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { ACCESS, Route, ShownToBlind } from '../http/route.js';
import { Asked, Id, Sent } from '../http/sent.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { Keeping } from './keeping.js';
import { ResumableUploads } from './resumableUploads.js';
import { sendBlob } from './sendBlob.js';
import { UploadQuotas } from './uploadQuotas.js';
import { Sets } from './sets.js';
import { UploadGate } from './uploadGate.js';

@ApiTags('measurements')
@Controller()
export class MeasurementsController {
  constructor(
    @Inject(Sets) private readonly sets: Sets,
    @Inject(Keeping) private readonly keeping: Keeping,
    @Inject(UploadGate) private readonly gate: UploadGate,
    @Inject(UploadQuotas) private readonly quotas: UploadQuotas,
    @Inject(CONFIG) private readonly config: ServerConfig,
  ) {}

  @Route('GET', 'units/:id/sets', 'member', 'A unit’s measurement sets with files and analyses')
  ofUnit(@Id() id: string, @Person() by: SignedIn): Promise<contract.SetView[]> {
    return this.sets.ofUnit(id, by);
  }
  @Route('POST', 'units/:id/sets', 'member', 'Begin a measurement set')
  add(
    @Id() id: string,
    @Sent(contract.AddSet) ask: z.output<typeof contract.AddSet>,
    @Person() by: SignedIn,
  ) {
    return this.sets.add(id, ask, by);
  }
  @Route('GET', 'sets/:id', 'member', 'One measurement set')
  one(@Id() id: string, @Person() by: SignedIn): Promise<contract.SetView> {
    return this.sets.one(id, by);
  }
  @Route('PATCH', 'sets/:id', 'member', 'Rename a set, or set it aside')
  change(
    @Id() id: string,
    @Sent(contract.ChangeSet) ask: z.output<typeof contract.ChangeSet>,
    @Person() by: SignedIn,
  ) {
    return this.sets.change(id, ask, by);
  }

  @Route('PUT', 'sets/:id/files', 'member', 'Put one file, or a ZIP of files, into a set in one request')
  @ApiConsumes('application/octet-stream')
  @ApiBody({ schema: { type: 'string', format: 'binary' } })
  @ApiQuery({ name: 'name', description: 'The file’s name' })
  async put(
    @Id() id: string,
    @Asked('name', z.string().min(1).max(1000)) name: string | undefined,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
    @Person() by: SignedIn,
  ): Promise<contract.KeptFile> {
    if (name === undefined) throw refuse.wrong('file-name', 'Say the file’s name: ?name=h+000.csv');
    return this.gate.pass(reply, async () => {
      const arriving = path.join(this.config.uploadsFolder, `arriving-${randomUUID()}`);
      try {
        const length = Number(request.headers['content-length'] ?? Number.NaN);
        if (length >= 0) await this.quotas.take(by, length, id);
        await pipeline(
          request.body as Readable,
          atMost(defaultLimits.totalBytes),
          createWriteStream(arriving, { mode: 0o600 }),
        );
        // Sent without saying how long it is: then it is known only now.
        if (!(length >= 0)) await this.quotas.take(by, (await stat(arriving)).size, id);
        return await this.keeping.keepForSet(id, name, arriving, by);
      } finally {
        await rm(arriving, { force: true });
      }
    });
  }
  @Route('GET', 'upload-quota', 'member', 'How much may be uploaded, and how much is stored')
  quota(): Promise<contract.UploadQuotaView> {
    return this.quotas.show();
  }
  @Route('PATCH', 'upload-quota', 'owner', 'Change how much may be uploaded')
  changeQuota(
    @Sent(contract.ChangeUploadQuota) ask: z.output<typeof contract.ChangeUploadQuota>,
    @Person() by: SignedIn,
  ): Promise<contract.UploadQuotaView> {
    return this.quotas.change(ask, by);
  }
  @Route('GET', 'files/:id', 'member', 'A file’s bytes as they came')
  async file(@Id() id: string, @Person() by: SignedIn, @Res() reply: FastifyReply): Promise<void> {
    const { sha256, name } = await this.sets.file(id, by);
    await sendBlob(reply, this.config.blobs, {
      sha256,
      name,
      mediaType: 'application/octet-stream',
      inline: false,
    });
  }
  @Route('DELETE', 'files/:id', 'member', 'Take a file out of its set', 200)
  removeFile(@Id() id: string, @Person() by: SignedIn): Promise<contract.Binned> {
    return this.sets.removeFile(id, by);
  }

  @Route(
    'POST',
    'sets/:id/analyses',
    'member',
    'Read, analyse and draw a set; equal inputs are computed once',
  )
  request(
    @Id() id: string,
    @Sent(contract.RequestAnalysis) ask: z.output<typeof contract.RequestAnalysis>,
    @Person() by: SignedIn,
  ) {
    return this.sets.requestAnalysis(id, ask, by);
  }
  @Route(
    'GET',
    'analyses/:id',
    'member',
    'An analysis: state, findings on the data, figures, numbers at a glance',
  )
  analysis(@Id() id: string, @Person() by: SignedIn): Promise<contract.AnalysisView> {
    return this.sets.analysis(id, by);
  }
  @Route('GET', 'analyses/:id/waiting', 'member', 'How long an analysis will wait for its turn')
  @ShownToBlind()
  waiting(@Id() id: string): Promise<contract.WaitingView> {
    return this.sets.waiting(id);
  }
  @Route('POST', 'analyses/:id/retry', 'member', 'Try an analysis again that was set aside', 200)
  retry(@Id() id: string, @Person() by: SignedIn): Promise<contract.AnalysisView> {
    return this.sets.retry(id, by);
  }
  @Route('GET', 'analyses/:id/result', 'member', 'The whole analysis object')
  result(@Id() id: string, @Person() by: SignedIn): Promise<unknown> {
    return this.sets.result(id, by);
  }
  @Route(
    'GET',
    'analyses/:id/figures/:figure',
    'member',
    'A figure: NAME.svg, .png, .csv, or .json for its description',
  )
  async figure(
    @Id() id: string,
    @Param('figure') figure: string,
    @Person() by: SignedIn,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const [, name, form] = /^([a-z0-9-]{1,80})\.(svg|png|csv|json)$/.exec(figure) ?? [];
    if (!name || !form) throw refuse.notFound('figure');
    await sendBlob(reply, this.config.blobs, await this.sets.figure(id, name, form as 'svg', by));
  }
}

@ApiTags('measurements')
@Controller('uploads')
export class UploadsController {
  constructor(
    @Inject(ResumableUploads) private readonly uploads: ResumableUploads,
    @Inject(UploadGate) private readonly gate: UploadGate,
  ) {}

  @All()
  @SetMetadata(ACCESS, 'member')
  @ApiExtension('x-access', 'member')
  @ApiOperation({
    summary:
      'Resumable uploads (tus 1.0.0); metadata: setId, reportId or proofOf (a loan), and filename; for a set also sha256 (else not kept) and replace: never',
    description: 'Access: owner, co-host, editor.',
  })
  begin(@Req() request: FastifyRequest, @Res() reply: FastifyReply, @Person() by: SignedIn): Promise<void> {
    return this.#takeOrAnswer(request, reply, by);
  }

  @All(':upload')
  @SetMetadata(ACCESS, 'member')
  @ApiExcludeEndpoint()
  go(@Req() request: FastifyRequest, @Res() reply: FastifyReply, @Person() by: SignedIn): Promise<void> {
    return this.#takeOrAnswer(request, reply, by);
  }

  /** Bytes pass the gate; a question about an upload is always answered. */
  #takeOrAnswer(request: FastifyRequest, reply: FastifyReply, by: SignedIn): Promise<void> {
    const take = () => this.uploads.handle(request, reply, by);
    return ['POST', 'PATCH'].includes(request.method) ? this.gate.pass(reply, take) : take();
  }
}

/** Passes bytes on until there are too many. */
function atMost(bytes: number): Transform {
  let left = bytes;
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      left -= chunk.length;
      if (left >= 0) done(null, chunk);
      else done(refuse.wrong('too-large', 'That is larger than one upload may be.', 'Send it in parts.'));
    },
  });
}
