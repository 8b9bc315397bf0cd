/**
 * A house with something to keep: a loan under embargo whose unit was really measured (with a fault that blocks), was
 * heard, has a verdict, evidence and a plan; and beside it a review that is out.
 */
import { randomUUID } from 'node:crypto';
import type { AnalysisResult } from '../../libs/acoustics/analysis.js';
import type { Database } from '../../libs/store/index.js';
import { photographPng } from '../../seed/scenario/photograph.js';
import { databaseOf } from './databaseOf.js';
import { inventedOrbits } from './inventedOrbits.js';
import { makeInstallation, type Installation, type RunningInstallation } from './installation.js';
import { fillersOf } from './leakFillers.js';
import type { Fillers } from './routeList.js';
import { preview, publish } from './publishedReview.js';
import { numbersOf, type Secrets } from './secretsSeen.js';
import { join, setUpOwner, visit, waitFor, type Visitor } from './visitor.js';

export const titles = { loan: 'Quillfeather Mark Nine', unit: 'Quillfeather 9S', out: 'Openly Out Two' };
const inDays = (days: number): string => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);
const planted = {
  verdict: 'It sings like a kettle in a draughty hall.',
  con: 'Its treble glares at the third octave.',
  proof: 'The peak that the rig found at the third octave.',
  note: 'The window pane rattled along with it.',
  comment: 'Say plainly that the top end splinters here.',
  remark: 'a rasp that whoever saw the curve would know',
  override: 'The rig was needed elsewhere on that very day.',
};

const OPEN_REASON = 'So that there is something to read.';

/** Off the common grid of numbers, so that nothing else in the house says the same. */
const shape = { tiltDbPerOctave: 1.37, cornerHz: 83.7, beaming: 2.61, levelDb: 84.3719 };

/** One angle short: the set blocks, and somebody has to measure again. */
function withoutAngle({ name, bytes }: { name: string; bytes: Uint8Array }) {
  const rows = Buffer.from(bytes)
    .toString('utf8')
    .trim()
    .split('\n')
    .map((line) => line.trim().split(','));
  const gone = rows[0]?.indexOf('h40') ?? -1;
  const kept = rows.map((row) => row.filter((_, index) => index !== gone).join(','));
  return { name, bytes: Buffer.from(`${kept.join('\n')}\n`) };
}

export interface LeakScene {
  readonly installation: Installation;
  readonly server: RunningInstallation;
  readonly database: Database;
  readonly ida: Visitor;
  /** Listening blind to the unit. */
  readonly bo: Visitor;
  readonly viewer: Visitor;
  readonly stranger: Visitor;
  readonly loanId: string;
  readonly unitId: string;
  readonly setId: string;
  readonly outUnitId: string;
  readonly boSessionId: string;
  readonly result: AnalysisResult;
  readonly fillers: Fillers;
  /** Of the unit's results, its verdict and others' words: not for whoever listens blind. */
  readonly results: Secrets;
  /** The same and the titles: not for whoever is outside the team. */
  readonly embargoed: Secrets;
}

export async function makeLeakScene(): Promise<LeakScene> {
  const installation = await makeInstallation('embedded');
  const server = await installation.start();
  const ida = await setUpOwner(server.url);
  const bo = await join(ida, 'cohost', 'Bo Lind');
  const viewer = await join(ida, 'viewer', 'Vi Stone');
  const database = await databaseOf(installation);
  const maker = await ida.client.addMaker({ name: 'Wren & Sedge (invented)' });
  const loan = await ida.client.addLoan({
    makerId: maker.id,
    title: titles.loan,
    arrivalFrom: inDays(3),
    arrivalTo: inDays(5),
    returnBy: inDays(60),
    embargoUntil: `${inDays(40)}T09:00:00Z`,
  });
  const unit = await ida.client.addUnit(loan.id, { name: titles.unit, kind: 'standmount' });
  const { setId, analysisId } = await measured(ida, unit.id, [withoutAngle(inventedOrbits(shape))]);
  const result = (await (await ida.fetch(`/api/analyses/${analysisId}/result`)).json()) as AnalysisResult;
  const out = await somethingOut(ida, maker.id);
  const outUnitId = out.unitId;
  await work(ida, loan.id, unit.id);
  await saidOfTheDraft(ida, database, loan.id);
  const boSessionId = randomUUID();
  await bo.client.keepListening(boSessionId, {
    unitId: unit.id,
    version: 0,
    device: 'phone',
    write: 1,
    begunAt: '2031-05-02T17:00:00Z',
    heardOn: '2031-05-02',
    placement: '',
    levelDb: null,
    sources: '',
    words: '',
    remarks: [{ id: 'own', text: 'my own ears', sign: 'neutral', severity: 2 }],
  });
  const ownWords = await database.prisma.setFile.findMany({ where: { setId }, select: { sha256: true } });
  const computation = await database.prisma.analysis.findUniqueOrThrow({
    where: { id: analysisId },
    select: { computation: { select: { figures: true, profile: true, summary: true } } },
  });
  const hashes = ownWords.map(({ sha256 }) => sha256);
  const results = await withoutOpen(
    ida,
    outUnitId,
    resultSecrets(result, computation.computation, hashes, unit.id),
    result.frequencyHz,
  );
  return {
    installation,
    server,
    database,
    ida,
    bo,
    viewer,
    stranger: visit(server.url),
    loanId: loan.id,
    unitId: unit.id,
    setId,
    outUnitId,
    boSessionId,
    result,
    fillers: await fillersOf(ida, database, { loanId: loan.id, unitId: unit.id }, out),
    results,
    embargoed: { ...results, strings: [...results.strings, titles.loan, titles.unit] },
  };
}

async function measured(
  host: Visitor,
  unitId: string,
  files: readonly { name: string; bytes: Uint8Array }[],
) {
  const set = await host.client.addSet(unitId, { name: 'on the rig' });
  for (const { name, bytes } of files) await host.put(set.id, name, bytes);
  const { id } = await host.client.requestAnalysis(set.id);
  await waitFor(
    async () => ((await host.client.analysis(id)).state === 'done' ? true : undefined),
    'the analysis to end',
  );
  return { setId: set.id, analysisId: id };
}

/** A review that is out: what a visitor may see, so that seeing nothing proves something. */
async function somethingOut(host: Visitor, makerId: string): Promise<{ loanId: string; unitId: string }> {
  const { client } = host;
  const { id, version } = await client.addLoan({ makerId, title: titles.out });
  const unit = await client.addUnit(id, { name: titles.out, kind: 'standmount' });
  await measured(host, unit.id, [inventedOrbits({ cornerHz: 60 })]);
  let at = version;
  for (const to of ['agreed', 'arrived', 'measuring', 'drafting'] as const)
    at = (await client.moveLoan(id, { version: at, to, overrideReason: OPEN_REASON })).version;
  await client.changeVerdict(id, { version: 0, text: 'It may be read.', pros: [], cons: [] });
  await publish(host, id, { title: titles.out, overrideReason: OPEN_REASON });
  await client.giveFeedback(id, { clarity: 4, length: 'right' });
  return { loanId: id, unitId: unit.id };
}

/** Points of the common grid, and what the open review says too, are nobody's secret. */
async function withoutOpen(
  host: Visitor,
  unitId: string,
  secrets: Secrets,
  frequencyHz: unknown,
): Promise<Secrets> {
  const [set] = await host.client.sets(unitId);
  const open: unknown = await (await host.fetch(set?.analyses[0]?.resultUrl ?? '')).json();
  const numbers = numbersOf([frequencyHz, open], new Set());
  const words = JSON.stringify(open);
  return {
    ...secrets,
    strings: secrets.strings.filter((string) => !words.includes(JSON.stringify(string).slice(1, -1))),
    numbers: new Set([...secrets.numbers].filter((number) => !numbers.has(number))),
  };
}

/** Everything the team does with a loan, by the owner's hand. */
async function work(host: Visitor, loanId: string, unitId: string): Promise<void> {
  const { client } = host;
  const accessory = await client.addAccessory(loanId, { name: 'Grille' });
  await client.changeAccessory(accessory.id, { version: 1, arrivedCount: 1 });
  const report = await client.addReport(loanId, { moment: 'arrival', unitId, condition: 'As new.' });
  await uploaded(host, 'reportId', report.id);
  const heard = await client.addListening(unitId, {
    heardOn: '2031-05-01',
    remarks: [{ id: 'r', text: planted.remark, sign: 'excess', descriptor: 'harsh', severity: 4 }],
  });
  await client.sealListening(heard.id, { version: heard.version });
  const { findings } = await client.evidence(unitId);
  await client.decidePair(unitId, {
    remarkId: `${heard.id}:r`,
    findingKind: findings[0]?.kind ?? '',
    findingHz: findings[0]?.centreHz ?? 1,
    decision: 'added',
    note: planted.note,
    version: 0,
  });
  await client.changeVerdict(loanId, {
    version: 0,
    text: planted.verdict,
    pros: ['It is small.'],
    cons: [{ text: planted.con, evidence: planted.proof }],
  });
  const { version } = await client.loan(loanId);
  await client.moveLoan(loanId, { version, to: 'agreed', overrideReason: planted.override });
  await uploaded(host, 'proofOf', loanId);
  await preview(host, loanId);
  const proposal = await client.proposePlan();
  await client.acceptPlan(proposal.id, { version: proposal.version });
  await client.addAbsence({ placeId: 'rig', from: '2031-01-02T08:00:00Z', to: '2031-01-02T10:00:00Z' });
}

/** Comments on the draft, one of them in the bin, and a private preview: what tells of them is to keep them inside. */
async function saidOfTheDraft(ida: Visitor, { prisma }: Database, loanId: string): Promise<void> {
  const host = await prisma.account.findFirstOrThrow({ where: { role: 'owner' } });
  const data = { loanId, authorId: host.id, body: planted.comment, mentions: [] };
  await prisma.draftComment.create({ data });
  const deleted = await prisma.draftComment.create({ data });
  await ida.client.deleteDraftComment(loanId, deleted.id, deleted.version);
  await prisma.previewLink.create({
    data: {
      loanId,
      tokenHash: 'of no token at all',
      hidden: [],
      createdByName: host.name,
      expiresAt: new Date(Date.now() + 86_400_000),
    },
  });
}

async function uploaded(host: Visitor, what: 'reportId' | 'proofOf', id: string): Promise<void> {
  const bytes = Buffer.from(photographPng({ view: 'crate', marks: 0 }));
  const metadata = Object.entries({ [what]: id, filename: 'crate.png' })
    .map(([name, value]) => `${name} ${Buffer.from(value).toString('base64')}`)
    .join(',');
  const answer = await host.fetch('/api/uploads', {
    method: 'POST',
    headers: {
      'tus-resumable': '1.0.0',
      'upload-length': String(bytes.length),
      'upload-metadata': metadata,
      'content-type': 'application/offset+octet-stream',
    },
    body: bytes,
  });
  if (!answer.ok) throw new Error(`The photograph was not kept: ${answer.status} ${await answer.text()}`);
}

/** Names in a result under which nothing of the loudspeaker stands. */
const noResult = new Set(['frequencyHz', 'inputs', 'settings', 'bandHz', 'sampleRateHz']);

function resultSecrets(
  result: AnalysisResult,
  kept: { figures: unknown; profile: unknown; summary: unknown },
  fileHashes: readonly string[],
  unitId: string,
): Secrets {
  const figures = (kept.figures ?? []) as Record<string, string>[];
  return {
    strings: [
      ...(result.findings ?? []).map(({ why }) => why),
      ...result.quality.map(({ message }) => message),
      ...Object.values(planted),
      'blocking quality finding',
      'blocking finding on the data',
    ],
    numbers: new Set([
      ...numbersOf(result, noResult),
      ...numbersOf(kept.profile, noResult),
      ...numbersOf(kept.summary, noResult),
    ]),
    files: new Set([
      ...fileHashes,
      ...figures.flatMap(({ svg = '', png = '', csv = '', json = '' }) => [svg, png, csv, json]),
    ]),
    // In the same object as the unit itself.
    counts: [
      new RegExp(String.raw`"${unitId}"[^{}]*"(?:blocking|checks|missing)":[1-9]`),
      new RegExp(String.raw`"${unitId}"[^{}]*"(?:missing|faulty)":\["`),
    ],
  };
}
