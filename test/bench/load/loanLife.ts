/** The usual life of a loan: asked for, agreed, unpacked, measured, heard, written, published, sent home. */
import { randomUUID } from 'node:crypto';
import type { KeepListening, Stage } from '../../../libs/contracts/index.js';
import type { Visitor } from '../../seams/visitor.js';
import { sendSet, analysed, fullSet, type Watching } from './measuring.js';
import type { Meter } from './meter.js';

const ACCESSORIES = 5;
const REMARKS = 20;
const TEXTS = 20;
const COMMENTS = 3;
/** What nobody did here (photographs, proof of delivery, parts of the plan that were not measured) is passed over. */
const REASON = 'Nobody photographs an invented crate.';

interface People {
  readonly host: Visitor;
  readonly colleague: Visitor;
}

/** The set on its way is not counted: it is measured by itself. */
export async function liveLoan(
  people: People,
  watching: Watching,
  meter: Meter,
  seed: number,
): Promise<void> {
  const { host } = people;
  const { loanId, unitId } = await meter.during(() => arrive(people, seed));
  await analysed(host, watching, await sendSet(host, unitId, 'on the rig', fullSet(seed)));
  await meter.during(async () => {
    await listen(people.colleague, unitId);
    await write(people, loanId);
    await publish(host, watching, loanId);
    await sendHome(host, loanId, unitId);
  });
}

/** As a page does: what it saw last names the version. */
async function move({ client }: Visitor, loanId: string, to: Stage): Promise<void> {
  const { version } = await client.loan(loanId);
  await client.moveLoan(loanId, { version, to, overrideReason: REASON });
}

async function change(
  { client }: Visitor,
  loanId: string,
  terms: Omit<Parameters<Visitor['client']['changeLoan']>[1], 'version'>,
): Promise<void> {
  const { version } = await client.loan(loanId);
  await client.changeLoan(loanId, { version, ...terms });
}

async function arrive({ host }: People, seed: number): Promise<{ loanId: string; unitId: string }> {
  const { client } = host;
  const maker = await client.addMaker({ name: `Maker ${seed} (invented)` });
  const loan = await client.addLoan({ makerId: maker.id, title: `Heron ${seed}`, returnBy: '2031-06-30' });
  const unit = await client.addUnit(loan.id, { name: `Heron ${seed}`, kind: 'standmount', massKg: 12 });
  const terms = { freightPayer: 'maker', insuredValueMinor: 240_000, makerCommentAgreed: true } as const;
  await change(host, loan.id, terms);
  await move(host, loan.id, 'agreed');
  await change(host, loan.id, { carrier: 'A carrier (invented)', arrivalFrom: '2031-05-01' });
  for (let part = 0; part < ACCESSORIES; part++)
    await client.addAccessory(loan.id, { name: `Part ${part}`, packaging: part === 0 });
  await move(host, loan.id, 'arrived');
  await report(host, loan.id, unit.id, 'arrival');
  for (const { id, version } of (await client.loan(loan.id)).accessories)
    await client.changeAccessory(id, { version, arrivedCount: 1 });
  await move(host, loan.id, 'measuring');
  return { loanId: loan.id, unitId: unit.id };
}

async function report(
  { client }: Visitor,
  loanId: string,
  unitId: string,
  moment: 'arrival' | 'return',
): Promise<void> {
  const { id, version } = await client.addReport(loanId, { moment, unitId, condition: 'As new (invented)' });
  await client.signReport(id, { version });
}

/** A session grows by one remark at a time and is sent whole, as the phone sends it. */
async function listen({ client }: Visitor, unitId: string): Promise<void> {
  const id = randomUUID();
  const remarks: KeepListening['remarks'][number][] = [];
  let version = 0;
  for (let write = 1; write <= REMARKS; write++) {
    remarks.push({ id: `remark-${write}`, text: 'strings are harsh', sign: 'excess', severity: 3 });
    ({ version } = await client.keepListening(id, {
      unitId,
      version,
      device: 'phone',
      write,
      begunAt: '2031-05-02T17:00:00Z',
      heardOn: '2031-05-02',
      placement: '2.6 m apart',
      levelDb: 78,
      sources: 'an invented string quartet',
      words: '',
      remarks,
    }));
  }
  await client.sealListening(id, { version });
  await client.evidence(unitId);
}

async function write({ host, colleague }: People, loanId: string): Promise<void> {
  await move(host, loanId, 'drafting');
  let text = '';
  for (let part = 0; part < TEXTS; part++) {
    text += `Paragraph ${part} says how an invented pair of loudspeakers does in an invented room. `.repeat(
      5,
    );
    const { verdict } = await host.client.loan(loanId);
    const { version, draftVersion } = verdict;
    await host.client.changeVerdict(loanId, { version, draftVersion, text, pros: ['Even'] });
  }
  for (let at = 0; at < COMMENTS; at++) await colleague.client.addDraftComment(loanId, { body: 'Shorter?' });
  const { verdict } = await colleague.client.loan(loanId);
  const { version: verdictVersion, draftVersion } = verdict;
  await colleague.client.signOff(loanId, { verdictVersion, draftVersion, decision: 'approve' });
}

async function publish({ client }: Visitor, watching: Watching, loanId: string): Promise<void> {
  const { loanVersion } = await client.publication(loanId);
  await client.publish(loanId, { version: loanVersion, title: 'An invented review' });
  await watching.heard((event) => event.type === 'review-published' && event.payload.loanId === loanId);
}

async function sendHome(host: Visitor, loanId: string, unitId: string): Promise<void> {
  await move(host, loanId, 'returning');
  for (const { id, version } of (await host.client.loan(loanId)).accessories)
    await host.client.changeAccessory(id, { version, returnedCount: 1 });
  await report(host, loanId, unitId, 'return');
  await change(host, loanId, { returnCarrier: 'A carrier (invented)', returnTracking: 'A-1' });
  await change(host, loanId, { deliveredOn: '2031-06-20', deliveryConfirmedBy: 'The maker' });
  await move(host, loanId, 'closed');
}
