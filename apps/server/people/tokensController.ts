/** The routes of one's own access tokens; themselves never open to a token. */
import { Controller, Inject } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { z } from 'zod';
import { AddToken, type TokenView } from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Id, Sent } from '../http/sent.js';
import { OwnTokens } from './ownTokens.js';

@ApiTags('people')
@Controller('tokens')
export class TokensController {
  constructor(@Inject(OwnTokens) private readonly tokens: OwnTokens) {}

  @Route('GET', '', 'signed-in', 'One’s own access tokens, without their secrets')
  list(@Person() by: SignedIn): Promise<TokenView[]> {
    return this.tokens.list(by);
  }
  @Route('POST', '', 'signed-in', 'Make an access token for a program; it is shown once')
  add(@Sent(AddToken) ask: z.output<typeof AddToken>, @Person() by: SignedIn): Promise<TokenView> {
    return this.tokens.add(ask, by);
  }
  @Route('DELETE', ':id', 'signed-in', 'Revoke an access token; what it has open ends at once')
  revoke(@Id() id: string, @Person() by: SignedIn): Promise<void> {
    return this.tokens.revoke(id, by);
  }
}
