/** A measured unit with a written, signed-off review, ready to be published; and its bundle read independently. */
import { createHash } from 'node:crypto';
import { spawnSync } from 'node:child_process';
import { mkdtemp, readdir, readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { LoanPublicationView, LoanView, PublicationView } from '../../libs/contracts/index.js';
import { measurementSet } from '../../seed/files/measurementSet.js';
import { waitFor, type Visitor } from './visitor.js';

export interface ReviewedLoan {
  readonly loanId: string;
  readonly unitId: string;
}

const REASON = 'Only to get to the point of this test.';

export async function reviewedLoan(
  host: Visitor,
  colleague: Visitor,
  design: 'sedge-3' | 'sedge-5' | 'whin-4',
  more: { readonly embargoUntil?: string; readonly unit?: string } = {},
): Promise<ReviewedLoan> {
  const { client } = host;
  const name = more.unit ?? design;
  const maker = await client.addMaker({ name: 'Wren & Sedge (invented)' });
  const asked = await client.addLoan({
    makerId: maker.id,
    title: `Working title of ${name}`,
    returnBy: '2031-06-30',
  });
  const unit = await client.addUnit(asked.id, { name, kind: 'standmount', serial: 'W-1', massKg: 31 });
  const set = await client.addSet(unit.id, { name: 'on the rig' });
  for (const file of measurementSet(design, { seed: 1, parts: ['horizontal', 'vertical', 'impedance'] }))
    await host.put(set.id, file.name, file.bytes);
  await client.requestAnalysis(set.id);
  await waitFor(
    async () => ((await client.sets(unit.id))[0]?.analyses[0]?.state === 'done' ? true : undefined),
    `the analysis of ${name}`,
  );
  let loan: LoanView = await client.loan(asked.id);
  if (more.embargoUntil !== undefined)
    loan = await client.changeLoan(loan.id, { version: loan.version, embargoUntil: more.embargoUntil });
  for (const to of ['agreed', 'arrived', 'measuring', 'drafting'] as const)
    loan = await client.moveLoan(loan.id, { version: loan.version, to, overrideReason: REASON });
  await writeVerdict(
    host,
    loan.id,
    `**Plain** and even. <script>alert(1)</script> ${name} tells what it is given.`,
  );
  await signOff(colleague, loan.id);
  return { loanId: loan.id, unitId: unit.id };
}

export async function writeVerdict(host: Visitor, loanId: string, text: string): Promise<void> {
  const { verdict } = await host.client.loan(loanId);
  await host.client.changeVerdict(loanId, {
    version: verdict.version,
    draftVersion: verdict.draftVersion,
    text,
    pros: ['Even'],
    cons: [{ text: 'Little bass', evidence: 'F3 in the numbers' }],
  });
}

export async function signOff(colleague: Visitor, loanId: string): Promise<void> {
  const { verdict } = await colleague.client.loan(loanId);
  const { version: verdictVersion, draftVersion } = verdict;
  await colleague.client.signOff(loanId, { verdictVersion, draftVersion, decision: 'approve' });
}

/** Asks for a release and waits until it is out, refused, or waiting. */
export async function publish(
  visitor: Visitor,
  loanId: string,
  more: Partial<Parameters<Visitor['client']['publish']>[1]> = {},
): Promise<PublicationView> {
  const { loanVersion } = await visitor.client.publication(loanId);
  await visitor.client.publish(loanId, { version: loanVersion, title: 'A plain review', ...more });
  return settled(visitor, loanId);
}

export async function preview(visitor: Visitor, loanId: string): Promise<PublicationView> {
  const { loanVersion } = await visitor.client.publication(loanId);
  await visitor.client.previewBundle(loanId, { version: loanVersion });
  return settled(visitor, loanId);
}

/** The last one asked for, once it is no longer built. */
export const settled = (visitor: Visitor, loanId: string): Promise<PublicationView> =>
  waitFor(async () => {
    const { publications }: LoanPublicationView = await visitor.client.publication(loanId);
    return publications[0] && publications[0].state !== 'building' ? publications[0] : undefined;
  }, 'the bundle to be built');

export interface UnpackedBundle {
  readonly folder: string;
  /** Every file's SHA-256, by its path. */
  readonly hashes: ReadonlyMap<string, string>;
}

/** Unpacked by the system's own `unzip`, so that our writer is not checked by our reader. */
export async function unpack(zip: Uint8Array): Promise<UnpackedBundle> {
  const place = await mkdtemp(path.join(tmpdir(), 'sojourn-bundle-'));
  await writeFile(path.join(place, 'bundle.zip'), zip);
  const folder = path.join(place, 'bundle');
  const { status, stderr, error } = spawnSync('unzip', ['-q', path.join(place, 'bundle.zip'), '-d', folder]);
  if (status !== 0) throw new Error(`unzip could not read the bundle: ${String(error ?? stderr)}`);
  const hashes = new Map<string, string>();
  for (const entry of await readdir(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const file = path.join(entry.parentPath, entry.name);
    const hash = createHash('sha256')
      .update(await readFile(file))
      .digest('hex');
    hashes.set(path.relative(folder, file).split(path.sep).join('/'), hash);
  }
  return { folder, hashes };
}

export async function bundleOf(visitor: Visitor, address: string): Promise<Buffer> {
  const answer = await visitor.fetch(address);
  if (!answer.ok) throw new Error(`The bundle answered ${answer.status}.`);
  return Buffer.from(await answer.arrayBuffer());
}
