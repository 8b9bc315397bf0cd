/** Keeping uploaded bytes: by content hash, with the name they came with; an archive's files each on their own. */
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { Inject, Injectable } from '@nestjs/common';
import type { KeptFile, ProblemView } from '../../../libs/contracts/index.js';
import { defaultLimits, sayBytes } from '../../../libs/measurement-files/limits.js';
import type { KeptBlob } from '../../../libs/blobs/blobStore.js';
import { change, putInBin, type Change } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse, Refused } from '../http/refusals.js';
import { DeliveryProofs } from '../loans/deliveryProofs.js';
import { Unpacking } from '../loans/unpacking.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { FileReading } from './fileReading.js';
import { kindOf } from './kindOf.js';
import { presentFile } from './present.js';

interface Named extends KeptBlob {
  readonly name: string;
}

/** What a sender may insist on. */
export interface Insisting {
  /** The file arrives with this hash or is not kept. */
  readonly sha256?: string | undefined;
  /** A file of the same name with other content stays, and this one is refused. */
  readonly neverReplace?: boolean;
  /** The upload's name, when it may be kept again by another server that starts or after a kill: it is kept once. */
  readonly upload?: string | undefined;
}

@Injectable()
export class Keeping {
  constructor(
    @Inject(CONFIG) private readonly config: ServerConfig,
    @Inject(Unpacking) private readonly unpacking: Unpacking,
    @Inject(DeliveryProofs) private readonly proofs: DeliveryProofs,
    @Inject(FileReading) private readonly reading: FileReading,
  ) {}

  /** @param file a finished upload on disk */
  async keepForSet(
    setId: string,
    name: string,
    file: string,
    by: SignedIn,
    insisting: Insisting = {},
  ): Promise<KeptFile> {
    const { size } = await stat(file);
    if ((await kindOf(file)) === 'archive') return this.#keepArchive(setId, name, file, by, insisting);
    if (size > defaultLimits.fileBytes) {
      const most = sayBytes(defaultLimits.fileBytes);
      throw refuse.wrong(
        'too-large',
        `${name}: ${sayBytes(size)}; one measurement file may have ${most}.`,
        'Send shorter recordings.',
      );
    }
    const kept = await this.config.blobs.keep(createReadStream(file));
    if (insisting.sha256 !== undefined && insisting.sha256 !== kept.sha256) {
      throw refuse.wrong(
        'arrived-changed',
        `${name} arrived other than it was when its sending began.`,
        'Send it again when nothing writes to it any more.',
      );
    }
    const files = [{ ...kept, name: cleanName(name) }];
    return { kept: await this.#record(setId, files, by, insisting), problems: [] };
  }

  async keepPhotograph(
    reportId: string,
    name: string,
    file: string,
    by: SignedIn,
    upload: string,
  ): Promise<void> {
    const mediaType = await kindOf(file);
    if (!mediaType.startsWith('image/')) {
      throw refuse.wrong('not-a-picture', `${name} is not a picture.`, 'Send a PNG, JPEG or WebP file.');
    }
    await this.reading.insistOnPicture(file, name);
    const kept = await this.config.blobs.keep(createReadStream(file));
    await change(this.config.database, by, async (made) => {
      if (!(await isFirst(made, upload))) return;
      await made.tx.blob.createMany({
        data: [{ ...kept, bytes: BigInt(kept.bytes), mediaType }],
        skipDuplicates: true,
      });
      await this.unpacking.addPhotograph(made, reportId, { sha256: kept.sha256, name: cleanName(name) }, by);
    });
  }

  async keepProof(loanId: string, name: string, file: string, by: SignedIn, upload: string): Promise<void> {
    const mediaType = await kindOf(file);
    if (mediaType === 'archive' || mediaType === 'other') {
      throw refuse.wrong(
        'not-a-proof',
        `${name} is neither a picture nor a PDF.`,
        'Send the delivery slip as a photograph (PNG, JPEG, WebP) or as a PDF.',
      );
    }
    if (mediaType.startsWith('image/')) await this.reading.insistOnPicture(file, name);
    const kept = await this.config.blobs.keep(createReadStream(file));
    await change(this.config.database, by, async (made) => {
      if (!(await isFirst(made, upload))) return;
      await made.tx.blob.createMany({
        data: [{ ...kept, bytes: BigInt(kept.bytes), mediaType }],
        skipDuplicates: true,
      });
      await this.proofs.add(made, loanId, { sha256: kept.sha256, name: cleanName(name) }, by);
    });
  }

  async #keepArchive(
    setId: string,
    name: string,
    file: string,
    by: SignedIn,
    insisting: Insisting,
  ): Promise<KeptFile> {
    const { entries, problems } = await this.reading.expand(file, name);
    // A hostile or broken archive is refused whole: nothing of it is half-kept.
    if (problems.length > 0) return { kept: [], problems: problems.map((problem) => asView(problem, name)) };
    const kept: Named[] = [];
    for (const entry of entries)
      kept.push({ ...(await this.config.blobs.keep(entry.bytes)), name: cleanName(entry.name) });
    return { kept: await this.#record(setId, kept, by, insisting), problems: [] };
  }

  /** The file that another of its name replaces goes to the bin; the same bytes again replace nothing. */
  async #binReplaced(
    made: Change,
    { id: setId, unit }: { id: string; unit: { id: string; name: string; loanId: string } },
    name: string,
    sha256: string,
  ): Promise<void> {
    const earlier = await made.tx.setFile.findUnique({ where: { setId_name: { setId, name } } });
    if (!earlier || earlier.sha256 === sha256) return;
    const root = { table: 'SetFile', column: 'id', value: earlier.id } as const;
    const { id: unitId, name: within, loanId } = unit;
    await putInBin(made, { kind: 'file', root, title: name, within, loanId, unitId });
  }

  /**
   * A file of the same name replaces the earlier one, which goes to the bin. The very file that
   * is there already changes nothing: sent twice is sent once.
   */
  async #record(setId: string, files: readonly Named[], by: SignedIn, insisting: Insisting) {
    return change(this.config.database, by, async (made) => {
      const { upload, neverReplace = false } = insisting;
      if (upload !== undefined && !(await isFirst(made, upload))) return [];
      const set = await made.tx.measurementSet.findUnique({ where: { id: setId }, include: { unit: true } });
      if (!set) throw refuse.notFound('measurement set');
      const others = await made.tx.setFile.count({
        where: { setId, name: { notIn: files.map(({ name }) => name) } },
      });
      if (others + files.length > defaultLimits.fileCount) {
        throw refuse.wrong(
          'too-many-files',
          `A set holds at most ${defaultLimits.fileCount} files.`,
          'Begin another set.',
        );
      }
      const { same, fresh } = await alreadyThere(made, setId, files, neverReplace);
      if (fresh.length === 0) return same.map(presentFile);
      await made.tx.blob.createMany({
        data: fresh.map(({ sha256, bytes }) => ({
          sha256,
          bytes: BigInt(bytes),
          mediaType: 'application/octet-stream',
        })),
        skipDuplicates: true,
      });
      const rows: Parameters<typeof presentFile>[0][] = [];
      for (const { name, sha256 } of fresh) {
        await this.#binReplaced(made, set, name, sha256);
        rows.push(
          await made.tx.setFile.upsert({
            where: { setId_name: { setId, name } },
            create: { setId, name, sha256, uploadedBy: by.id },
            update: { sha256, uploadedBy: by.id, createdAt: new Date() },
            include: { blob: { select: { bytes: true } } },
          }),
        );
      }
      const names = rows.map(({ name }) => name);
      const { unit } = set;
      made.publish('team', 'files-kept', { loanId: unit.loanId, unitId: unit.id, setId, names, by: by.name });
      for (const name of names) {
        made.record({
          action: 'file-kept',
          subject: 'set',
          subjectId: setId,
          loanId: unit.loanId,
          sentence: `put ${name} into “${set.name}” of ${unit.name}`,
        });
      }
      return [...same, ...rows].map(presentFile);
    });
  }
}

const isFirst = (made: Change, upload: string): Promise<boolean> => made.once(`upload-${upload}`);
/** Which of these files the set has already, to the byte. The set is held meanwhile: two senders come one after the other. */
async function alreadyThere({ tx }: Change, setId: string, files: readonly Named[], neverReplace: boolean) {
  await tx.$executeRaw`select 1 from "MeasurementSet" where "id" = ${setId}::uuid for update`;
  const there = await tx.setFile.findMany({
    where: { setId, name: { in: files.map(({ name }) => name) } },
    include: { blob: { select: { bytes: true } } },
  });
  const shaOf = new Map(there.map(({ name, sha256 }) => [name, sha256]));
  const other = files.find(({ name, sha256 }) => (shaOf.get(name) ?? sha256) !== sha256);
  if (neverReplace && other) {
    throw new Refused(409, {
      code: 'file-differs',
      message: `The set has another file called ${other.name}.`,
      remedy: 'Begin another set for what was measured again.',
    });
  }
  const fresh = files.filter(({ name, sha256 }) => shaOf.get(name) !== sha256);
  const sameNames = new Set(files.filter((file) => !fresh.includes(file)).map(({ name }) => name));
  return { same: there.filter(({ name }) => sameNames.has(name)), fresh };
}

const asView = (problem: ProblemView, archive: string): ProblemView => ({
  file: problem.file || archive,
  ...(problem.line === undefined ? {} : { line: problem.line }),
  code: problem.code,
  message: problem.message,
  remedy: problem.remedy,
});

/** The name as it came, with the folders below the one that was chosen: they may say the orbit. Never a way up. */
export function cleanName(name: string): string {
  const parts = name
    .normalize('NFC')
    .replace(/\p{Cc}/gu, '')
    .split(/[\\/]/)
    .map((part) => part.trim())
    .filter((part) => part !== '' && part !== '.' && part !== '..');
  const plain = parts.join('/');
  if (plain === '') throw refuse.wrong('file-name', 'The file has no name.');
  return plain.slice(-300);
}
