/**
 * Whatever is about a unit, or about its loan, is refused to somebody who is listening to that unit blind, unless the
 * route is marked as holding no results. A route that is added is refused until somebody decides otherwise.
 */
import { Inject, Injectable, type CanActivate, type ExecutionContext } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { FastifyRequest } from 'fastify';
import { sealedFrom, type Sealed, type Tx } from '../../../libs/store/index.js';
import { refuse } from '../http/refusals.js';
import { SHOWN_TO_BLIND } from '../http/route.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';

@Injectable()
export class BlindGuard implements CanActivate {
  constructor(
    @Inject(Reflector) private readonly reflector: Reflector,
    @Inject(CONFIG) private readonly config: ServerConfig,
  ) {}

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const { person, url } = context.switchToHttp().getRequest<FastifyRequest>();
    if (!person || this.reflector.get<boolean | undefined>(SHOWN_TO_BLIND, context.getHandler())) return true;
    const about = ABOUT.exec(url);
    if (!about) return true;
    const { prisma } = this.config.database;
    const sealed = await sealedFrom(prisma, person.id);
    if (sealed.units.size > 0 && (await isSealed(prisma, about, sealed))) throw refuse.sealed();
    return true;
  }
}

const UUID = '[0-9a-fA-F]{8}(?:-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}';
/** Which unit or loan an address is about; one that names none is its handler's own business. */
const ABOUT = new RegExp(
  String.raw`^/api/(?:archive/)?(units|loans|sets|files|analyses)/(${UUID})(?:[/?]|$)`,
);

async function isSealed(tx: Tx, [, kind = '', id = '']: RegExpExecArray, sealed: Sealed): Promise<boolean> {
  const named = id.toLowerCase();
  if (kind === 'loans') return sealed.loans.has(named);
  const unitId = await unitBehind(tx, kind, named);
  return unitId !== undefined && sealed.units.has(unitId);
}

async function unitBehind(tx: Tx, kind: string, id: string): Promise<string | undefined> {
  switch (kind) {
    case 'units':
      return id;
    case 'sets':
      return (await tx.measurementSet.findUnique({ where: { id }, select: { unitId: true } }))?.unitId;
    case 'files':
      return (await tx.setFile.findUnique({ where: { id }, select: { set: { select: { unitId: true } } } }))
        ?.set.unitId;
    default:
      return (await tx.analysis.findUnique({ where: { id }, select: { set: { select: { unitId: true } } } }))
        ?.set.unitId;
  }
}
