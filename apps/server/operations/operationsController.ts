/** The owner looks after the installation. */
import { Controller, Inject } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { z } from 'zod';
import { RetryFailure, type OperationsView } from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { Sent } from '../http/sent.js';
import { Operations } from './operations.js';

@ApiTags('operations')
@Controller()
export class OperationsController {
  constructor(@Inject(Operations) private readonly operations: Operations) {}

  @Route('GET', 'operations', 'owner', 'Queues, what was given up, storage, versions and processes')
  look(): Promise<OperationsView> {
    return this.operations.look();
  }

  @Route('POST', 'operations/retry', 'owner', 'Try again what was given up', 200)
  retry(
    @Sent(RetryFailure) ask: z.output<typeof RetryFailure>,
    @Person() by: SignedIn,
  ): Promise<OperationsView> {
    return this.operations.retry(ask, by);
  }
}
