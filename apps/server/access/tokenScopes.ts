/**
 * Which scopes of an access token open which route; any one of those named is enough. A route that is not in this
 * table takes a signed-in person: passwords, people, backups, publishing, signatures, secrets shown once, and tokens
 * themselves. So a route that is added is closed to tokens until somebody decides otherwise.
 */
import { scopeWords, type Scope } from '../../../libs/contracts/index.js';
import { Refused } from '../http/refusals.js';
import type { SignedIn } from './sessions.js';

const any = ['read', 'measure', 'loans', 'write'] as const;
const read = ['read'] as const;
const measure = ['measure'] as const;
const atTheRig = ['read', 'measure'] as const;
const loans = ['loans'] as const;
const write = ['write'] as const;

/** Method and path as they stand in the controllers. */
export const tokenScopes: Readonly<Record<string, readonly Scope[]>> = {
  'GET session': any,
  'GET /health/live': any,
  'GET /health/ready': any,
  'GET people': read,
  'GET dashboard': read,
  'GET history': read,
  'GET feed': read,

  'GET makers': read,
  'GET makers/:id': read,
  'POST makers': loans,
  'PATCH makers/:id': loans,
  'GET loans': read,
  'GET loans/:id': read,
  'POST loans': loans,
  'PATCH loans/:id': loans,
  'POST loans/:id/move': loans,
  'GET loans/:id/history': read,
  'GET published': read,
  'GET units/:id': atTheRig,
  'POST loans/:id/units': loans,
  'PATCH units/:id': loans,
  'PATCH units/:id/plan/:code': loans,

  'POST loans/:id/accessories': loans,
  'PATCH accessories/:id': loans,
  'POST accessories/:id/remove': loans,
  'POST loans/:id/reports': loans,
  'PATCH reports/:id': loans,
  'GET photographs/:id': read,
  'PATCH photographs/:id': loans,
  'GET proofs/:id': read,

  'GET units/:id/sets': atTheRig,
  'POST units/:id/sets': measure,
  'GET sets/:id': atTheRig,
  'PATCH sets/:id': measure,
  'PUT sets/:id/files': measure,
  'GET files/:id': atTheRig,
  'DELETE files/:id': measure,
  'POST sets/:id/analyses': measure,
  'GET analyses/:id': atTheRig,
  'POST analyses/:id/retry': measure,
  'GET analyses/:id/result': atTheRig,
  'GET analyses/:id/figures/:figure': atTheRig,
  // Files of a set take `measure`; photographs and proofs of delivery, sent the same way, take `loans`.
  'POST uploads': ['measure', 'loans'],
  'HEAD uploads/:upload': ['measure', 'loans'],
  'PATCH uploads/:upload': ['measure', 'loans'],

  'GET archive': read,
  'GET archive/units/:id/comparables': read,
  'GET archive/comparison': read,
  'GET archive/comparison/:figure': read,
  'GET campaigns': read,
  'GET campaigns/:id': read,

  'POST units/:id/listening': write,
  'PUT listening/:id': write,
  'PATCH listening/:id': write,
  'POST listening/:id/additions': write,
  'GET listening/:id/record': read,
  'GET published/:id/listening': read,
  'GET units/:id/evidence': read,
  'PUT units/:id/evidence/pairs': write,
  'PATCH loans/:id/verdict': write,
  'GET draft-house': read,
  'GET loans/:id/draft/evidence': read,
  'GET loans/:id/draft/review.html': read,
  'GET loans/:id/draft/review.zip': read,
  'GET loans/:id/draft/comments': read,
  'POST loans/:id/draft/comments': write,
  'PATCH loans/:id/draft/comments/:comment': write,
  'GET loans/:id/previews': read,

  'GET plan': read,
  'POST plan/proposals': loans,
  'GET plan/proposals/:id': read,
  'POST plan/proposals/:id/accept': loans,
  'GET plan/bookings': read,
  'GET plan/workload': read,
  'POST plan/what-if': read,
  'GET plan/estimates': read,
  'GET bookings/:id': read,
  'PATCH bookings/:id': loans,
  'GET loans/:id/steps': read,
  'PATCH loans/:id/steps/:step': loans,
  'GET plan/house': read,
  'PATCH plan/house': loans,
  'POST plan/places': loans,
  'PATCH plan/places/:id': loans,
  'PATCH plan/people/:id': loans,
  'POST plan/absences': loans,
  'DELETE plan/absences/:id': loans,
  'POST plan/busy': loans,
  'DELETE plan/busy/:id': loans,
  'GET plan/templates': read,
  'PATCH plan/templates/:kind': loans,
  'DELETE plan/templates/:kind': loans,

  'GET loans/:id/publication': read,
  'GET publications/:id/bundle': read,
  'GET publication/house': read,
  'GET feedback': read,
  'GET reviews': read,
  'GET reviews/units': read,
  'GET reviews/comparison': read,
  'GET reviews/comparison/:figure': read,
  'GET reviews/:id': read,
  'GET reviews/:id/versions/:version/bundle': read,
  'GET reviews/:id/versions/:version/units/:unit/figures/:figure': read,
};

/** @param address as the router knows it, such as /api/loans/:id; HEAD of a route that is read is reading it */
export function scopesFor(method: string, address: string): readonly Scope[] {
  const path = address.replace(/^\/api\//, '').replace(/\/$/, '');
  return (
    tokenScopes[`${method} ${path}`] ?? (method === 'HEAD' ? tokenScopes[`GET ${path}`] : undefined) ?? []
  );
}

/** @throws Refused (403), naming what would open it, when a token's scopes do not open a route */
export function insistOnScope({ scopes }: SignedIn, method: string, address: string): void {
  if (scopes === undefined) return;
  const opened = scopesFor(method, address);
  if (opened.some((scope) => scopes.includes(scope))) return;
  throw new Refused(403, {
    code: 'token-scope',
    message:
      opened.length === 0
        ? 'No access token may do this; it takes somebody who signed in.'
        : 'This access token may not do this.',
    ...(opened.length === 0
      ? {}
      : { remedy: `Use one that may: ${opened.map((scope) => scopeWords[scope].name).join(' or ')}.` }),
  });
}
