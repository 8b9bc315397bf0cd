/** The person behind a request, for handlers whose rule asks for one. */
import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { refuse } from '../http/refusals.js';
import type { SignedIn } from './sessions.js';

export const Person = createParamDecorator((_unused: unknown, context: ExecutionContext): SignedIn => {
  const { person } = context.switchToHttp().getRequest<FastifyRequest>();
  if (!person) throw refuse.signIn();
  return person;
});
