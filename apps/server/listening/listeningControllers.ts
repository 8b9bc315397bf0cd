/** The routes of listening, of its seals, and of the evidence. */
import { Controller, Inject } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route, ShownToBlind } from '../http/route.js';
import { Id, Sent } from '../http/sent.js';
import { Evidence } from './evidence.js';
import { ListeningSessions } from './listeningSessions.js';
import { SealRecords } from './sealRecords.js';

@ApiTags('listening')
@Controller()
export class ListeningController {
  constructor(
    @Inject(ListeningSessions) private readonly sessions: ListeningSessions,
    @Inject(SealRecords) private readonly records: SealRecords,
  ) {}

  @Route('POST', 'units/:id/listening', 'member', 'Begin a listening session')
  @ShownToBlind()
  add(
    @Id() id: string,
    @Sent(contract.AddListening) ask: z.output<typeof contract.AddListening>,
    @Person() by: SignedIn,
  ) {
    return this.sessions.add(id, ask, by);
  }
  @Route('PUT', 'listening/:id', 'member', 'Keep a whole session as a device has it; sent twice, kept once')
  keep(
    @Id() id: string,
    @Sent(contract.KeepListening) ask: z.output<typeof contract.KeepListening>,
    @Person() by: SignedIn,
  ) {
    return this.sessions.keep(id, ask, by);
  }
  @Route('PATCH', 'listening/:id', 'member', 'Write in one’s own listening session')
  change(
    @Id() id: string,
    @Sent(contract.ChangeListening) ask: z.output<typeof contract.ChangeListening>,
    @Person() by: SignedIn,
  ) {
    return this.sessions.change(id, ask, by);
  }
  @Route('POST', 'listening/:id/seal', 'member', 'Seal a session: hashed and time-stamped, then fixed', 200)
  seal(
    @Id() id: string,
    @Sent(contract.SealListening) ask: z.output<typeof contract.SealListening>,
    @Person() by: SignedIn,
  ) {
    return this.sessions.seal(id, ask, by);
  }
  @Route('POST', 'listening/:id/give-up', 'member', 'Give up listening blind, to see the data; recorded', 200)
  giveUp(@Id() id: string, @Person() by: SignedIn) {
    return this.sessions.giveUp(id, by);
  }
  @Route(
    'POST',
    'listening/:id/additions',
    'member',
    'Add to one’s sealed session: kept as made after the seal',
  )
  addAfter(
    @Id() id: string,
    @Sent(contract.AddAfterSeal) ask: z.output<typeof contract.AddAfterSeal>,
    @Person() by: SignedIn,
  ) {
    return this.sessions.addAfter(id, ask, by);
  }
  @Route('GET', 'listening/:id/record', 'member', 'A seal with the text it was taken over, computed again')
  record(@Id() id: string, @Person() by: SignedIn): Promise<contract.SealRecordView> {
    return this.records.one(id, by);
  }
  @Route('GET', 'published/:id/listening', 'public', 'The listening behind a review that is out, for readers')
  published(@Id() id: string): Promise<contract.SealRecordView[]> {
    return this.records.published(id);
  }
}

@ApiTags('evidence')
@Controller('units/:id/evidence')
export class EvidenceController {
  constructor(@Inject(Evidence) private readonly evidence: Evidence) {}

  @Route('GET', '', 'member', 'What was heard against what was measured')
  ofUnit(@Id() id: string, @Person() by: SignedIn): Promise<contract.EvidenceView> {
    return this.evidence.ofUnit(id, by);
  }
  @Route('PUT', 'pairs', 'member', 'Confirm, refuse or put together a pair of remark and finding')
  decide(
    @Id() id: string,
    @Sent(contract.DecidePair) ask: z.output<typeof contract.DecidePair>,
    @Person() by: SignedIn,
  ): Promise<contract.EvidenceView> {
    return this.evidence.decide(id, ask, by);
  }
}
