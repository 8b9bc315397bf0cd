/** What fills the parameters of routes, where the names of tables do not say it: add a line for a new parameter. */
import type { Database } from '../../libs/store/index.js';
import type { Fillers } from './routeList.js';
import { waitFor, type Visitor } from './visitor.js';

export interface Place {
  readonly loanId: string;
  readonly unitId: string;
}

export async function fillersOf(
  host: Visitor,
  { prisma }: Database,
  { loanId, unitId }: Place,
  out: Place,
): Promise<Fillers> {
  const { plan } = await host.client.unit(unitId);
  const steps = await host.client.loanSteps(loanId);
  const feed = await host.client.makeCalendarFeed();
  const [set] = await host.client.sets(unitId);
  // Every figure as its table, one as everything it is served as.
  const [first, ...rest] = (set?.analyses[0]?.figures ?? []).map(({ name }) => name);
  const figures = [
    ...['svg', 'png', 'csv', 'json'].map((form) => `${first ?? ''}.${form}`),
    ...rest.map((name) => `${name}.csv`),
  ];
  const review = await host.client.review(out.loanId);
  const published = review.figures.flatMap(({ figures: all }) =>
    all.slice(0, 2).map(({ csvUrl }) => csvUrl.split('/')),
  );
  const people = await host.client.people();
  const comments = await prisma.draftComment.findMany({ where: { loanId }, select: { id: true } });
  const previews = await prisma.previewLink.findMany({ where: { loanId }, select: { id: true } });
  const backup = await backupOf(host);
  const deliveries = (await prisma.delivery.findMany({ take: 2, select: { id: true } })).map(({ id }) => id);
  await host.client.addToken({ name: 'A token to be found', scopes: ['read'] });
  await host.client.askExport('own');
  return {
    '/api/backups/files/{name}': [backup],
    comment: comments.map(({ id }) => id),
    preview: previews.map(({ id }) => id),
    code: [plan[0]?.code ?? ''],
    step: [steps[0]?.stepId ?? ''],
    file: [feed.path?.split('/').at(-1) ?? ''],
    kind: ['standmount'],
    '/api/analyses/{id}/figures/{figure}': figures,
    '/api/archive/comparison/{figure}': ['figure.svg', 'figure.csv', 'figure.png'],
    '/api/archive/units/{id}': [unitId, out.unitId],
    '/api/reviews/{id}': [loanId, out.loanId],
    version: ['1'],
    unit: [unitId, ...new Set(published.map((parts) => parts.at(-3) ?? ''))],
    '/api/reviews/{id}/versions/{version}/units/{unit}/figures/{figure}': published.map(
      (parts) => parts.at(-1) ?? '',
    ),
    '/api/reviews/comparison/{figure}': ['figure.svg', 'figure.csv'],
    '/api/published/{id}': [loanId, out.loanId],
    '/api/people/{id}': people.map(({ id }) => id),
    '/api/sessions/{id}': (await host.client.sessions()).map(({ id }) => id),
    '/api/plan/people/{id}': people.map(({ id }) => id),
    '/api/plan/places/{id}': ['rig', 'listening-room'],
    '/api/files/{id}': (set?.files ?? []).slice(0, 2).map(({ id }) => id),
    '/api/listening/{id}': (await host.client.loan(loanId)).listening.map(({ id }) => id),
    '/api/plan/busy/{id}': ['00000000-0000-4000-8000-000000000000'],
    '/api/campaigns/{id}': ['00000000-0000-4000-8000-000000000000'],
    '/api/notifications/deliveries/{id}':
      deliveries.length > 0 ? deliveries : ['00000000-0000-4000-8000-000000000000'],
  };
}

async function backupOf(host: Visitor): Promise<string> {
  await host.client.makeBackup();
  return waitFor(async () => (await host.client.backups()).files[0]?.name, 'a backup');
}
