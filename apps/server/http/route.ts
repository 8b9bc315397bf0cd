/** One decorator says everything about a route: method, path, who may use it, what it does. */
import { applyDecorators, Delete, Get, HttpCode, Patch, Post, Put, SetMetadata } from '@nestjs/common';
import { ApiExtension, ApiOperation, ApiResponse } from '@nestjs/swagger';

/**
 * public: anybody. signed-in: any account. member: owner, co-host, editor. owner: the owner.
 * A route without a rule is refused, and the server does not start with one.
 */
export type Access = 'public' | 'signed-in' | 'member' | 'owner';
export const ACCESS = 'sojourn:access';

export const SHOWN_TO_BLIND = 'sojourn:shown-to-blind';

/**
 * Somebody who is listening to a unit blind may use this route although it is about that unit or its loan: it holds
 * no results, or leaves out theirs. Without this mark it is refused to them.
 */
export const ShownToBlind = (): MethodDecorator => SetMetadata(SHOWN_TO_BLIND, true);

const methods = { GET: Get, POST: Post, PUT: Put, PATCH: Patch, DELETE: Delete } as const;

export function Route(
  method: keyof typeof methods,
  path: string,
  access: Access,
  summary: string,
  status: number = method === 'POST' ? 201 : method === 'DELETE' ? 204 : 200,
): MethodDecorator {
  return applyDecorators(
    methods[method](path),
    SetMetadata(ACCESS, access),
    HttpCode(status),
    ApiExtension('x-access', access),
    ApiOperation({ summary, description: `Access: ${accessWords[access]}.` }),
    ApiResponse({ status, description: status === 204 ? 'Done.' : 'The answer.' }),
    ApiResponse({ status: 422, description: 'Refused: code, message, remedy.' }),
  );
}

const accessWords: Readonly<Record<Access, string>> = {
  public: 'anybody',
  'signed-in': 'any signed-in account',
  member: 'owner, co-host, editor',
  owner: 'the owner',
};
