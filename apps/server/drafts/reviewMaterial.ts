/** All a review is made from, read together. */
import type { OutlineItem, PreviewPart } from '../../../libs/contracts/index.js';
import { pointsOf } from '../../../libs/drafts/index.js';
import { reviewOf, type Review, type ReviewFigure } from '../../../libs/drafts/review.js';
import type { Tx } from '../../../libs/store/index.js';
import type { BlobStore } from '../../../libs/blobs/blobStore.js';
import { refuse } from '../http/refusals.js';
import { draftHouse } from './draftHouse.js';
import { measuredUnits, sayNumber, sentence, type MeasuredUnit } from './measured.js';

export async function loadReview(
  tx: Tx,
  blobs: BlobStore,
  loanId: string,
  hidden: ReadonlySet<PreviewPart> = new Set(),
): Promise<Review> {
  const loan = await tx.loan.findUnique({
    where: { id: loanId },
    include: { maker: { select: { name: true } }, verdict: true },
  });
  if (!loan) throw refuse.notFound('loan');
  const [house, installation, measured] = await Promise.all([
    draftHouse(tx),
    tx.installation.findUnique({ where: { id: 1 } }),
    measuredUnits(tx, loanId),
  ]);
  const material = {
    teamName: installation?.name ?? '',
    title: loan.title,
    makerName: loan.maker.name,
    units: measured.map(({ unitName }) => unitName),
    invented: loan.invented,
    text: loan.verdict?.text ?? '',
    points: pointsOf(loan.verdict),
    outline: (loan.verdict?.outline as OutlineItem[] | null | undefined) ?? house.outline,
    figures: hidden.has('figures') ? [] : await loadFigures(blobs, measured),
    findings: measured.flatMap(({ unitName, findings }) =>
      findings.map(({ words, why }) => ({ unitName, sentence: `${sentence(words)} ${why}`.trim() })),
    ),
    numbers: measured.flatMap(({ unitName, numbers }) =>
      // An estimate with a wide spread is not shown outside unless the team writes it.
      numbers
        .filter(({ key }) => !key.startsWith('predictedPreference'))
        .map((glance) => ({ unitName, label: glance.label, value: sayNumber(glance) })),
    ),
  };
  return reviewOf(material, hidden);
}

async function loadFigures(blobs: BlobStore, units: readonly MeasuredUnit[]): Promise<ReviewFigure[]> {
  const used = new Set<string>();
  const wanted = units.flatMap(({ unitName, figures }) => figures.map((figure) => ({ unitName, figure })));
  return Promise.all(
    wanted.map(async ({ unitName, figure }) => ({
      unitName,
      title: figure.title,
      name: uniqueName(`${unitName}-${figure.name}`, used),
      svg: (await blobs.read(figure.svg)).toString('utf8'),
      csv: (await blobs.read(figure.csv)).toString('utf8'),
    })),
  );
}

function uniqueName(words: string, used: Set<string>): string {
  const base = words
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '');
  let name = base;
  for (let count = 2; used.has(name); count++) name = `${base}-${count}`;
  used.add(name);
  return name;
}
