/** Every route is refused unless its rule lets the person in. */
import { Inject, Injectable, type CanActivate, type ExecutionContext } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { FastifyRequest } from 'fastify';
import type { Role } from '../../../libs/contracts/index.js';
import { ACCESS, type Access } from '../http/route.js';
import { refuse, Refused } from '../http/refusals.js';
import { ApiTokens, bearerOf } from './apiTokens.js';
import { Sessions, tokenOf, type SignedIn } from './sessions.js';
import { insistOnScope } from './tokenScopes.js';

export const isMember = (role: Role): boolean => role !== 'viewer';

export function allows(access: Access, role: Role | undefined): boolean {
  switch (access) {
    case 'public':
      return true;
    case 'signed-in':
      return role !== undefined;
    case 'member':
      return role !== undefined && isMember(role);
    case 'owner':
      return role === 'owner';
  }
}

@Injectable()
export class AccessGuard implements CanActivate {
  constructor(
    @Inject(Reflector) private readonly reflector: Reflector,
    @Inject(Sessions) private readonly sessions: Sessions,
    @Inject(ApiTokens) private readonly tokens: ApiTokens,
  ) {}

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    const access = this.reflector.get<Access | undefined>(ACCESS, context.getHandler());
    if (access === undefined) throw refuse.forbidden('This route has no access rule.');
    const person = await this.#whoAsks(request);
    if (person) request.person = person;
    if (allows(access, person?.role)) return true;
    throw person ? refuse.forbidden() : refuse.signIn();
  }

  /** A token stands alone: no cookie counts beside it, and no page of another site can send one. */
  async #whoAsks(request: FastifyRequest): Promise<SignedIn | undefined> {
    const token = bearerOf(request.headers);
    if (token === undefined) {
      refuseForeignWrites(request);
      return this.sessions.find(tokenOf(request));
    }
    request.cookies = {};
    const person = await this.tokens.admit(token);
    insistOnScope(person, request.method, request.routeOptions.url ?? '');
    this.tokens.watch(person.sessionHash, request.raw);
    return person;
  }
}

const reading = new Set(['GET', 'HEAD', 'OPTIONS']);

/**
 * A page of another site may not write in a signed-in person's name. Browsers name the page's origin on every
 * such request; programs without a browser have no cookie of anybody else to misuse.
 */
export function refuseForeignWrites(request: Pick<FastifyRequest, 'method' | 'headers'>): void {
  if (reading.has(request.method)) return;
  const site = request.headers['sec-fetch-site'];
  const origin = request.headers.origin;
  const foreignSite = site !== undefined && site !== 'same-origin' && site !== 'none';
  if (foreignSite || (origin !== undefined && !isOwnOrigin(origin, request.headers.host))) {
    throw new Refused(403, {
      code: 'foreign-origin',
      message: 'Writes from other sites’ pages are refused.',
    });
  }
}

export function isOwnOrigin(origin: string, host: string | undefined): boolean {
  return URL.canParse(origin) && new URL(origin).host === host;
}
