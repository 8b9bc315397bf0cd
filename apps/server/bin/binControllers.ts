/** Deleting, and the bin it leads to. */
import { Controller, Inject } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { z } from 'zod';
import {
  PurgeBinEntry,
  SeenVersion,
  type Binned,
  type BinView,
  type PutBack,
} from '../../../libs/contracts/index.js';
import { Person } from '../access/person.js';
import type { SignedIn } from '../access/sessions.js';
import { Route } from '../http/route.js';
import { AskedAll, Id, Sent } from '../http/sent.js';
import { Bin } from './bin.js';
import { Deletions } from './deletions.js';

const Seen = z.object({ version: SeenVersion });
type Seen = z.output<typeof Seen>;

@ApiTags('bin')
@Controller('bin')
export class BinController {
  constructor(@Inject(Bin) private readonly bin: Bin) {}

  @Route(
    'GET',
    '',
    'member',
    'What was deleted in the last 30 days: all for owner and co-host, one’s own for others',
  )
  view(@Person() by: SignedIn): Promise<BinView> {
    return this.bin.view(by);
  }

  @Route('POST', ':id/restore', 'member', 'Put it back as it was', 200)
  restore(@Id() id: string, @Person() by: SignedIn): Promise<PutBack> {
    return this.bin.restore(id, by);
  }

  @Route('POST', ':id/purge', 'owner', 'Delete it for good before its days are over', 204)
  purge(
    @Id() id: string,
    @Sent(PurgeBinEntry) _ask: z.output<typeof PurgeBinEntry>,
    @Person() by: SignedIn,
  ): Promise<void> {
    return this.bin.purge(id, by);
  }
}

@ApiTags('deleting')
@Controller()
export class DeletionsController {
  constructor(@Inject(Deletions) private readonly deletions: Deletions) {}

  @Route('DELETE', 'makers/:id', 'member', 'Delete a maker that has no loans', 200)
  maker(@Id() id: string, @AskedAll(Seen) { version }: Seen, @Person() by: SignedIn): Promise<Binned> {
    return this.deletions.maker(id, version, by);
  }

  @Route(
    'DELETE',
    'loans/:id',
    'member',
    'Delete a loan with all that belongs to it; not once its review is out',
    200,
  )
  loan(@Id() id: string, @AskedAll(Seen) { version }: Seen, @Person() by: SignedIn): Promise<Binned> {
    return this.deletions.loan(id, version, by);
  }

  @Route('DELETE', 'units/:id', 'member', 'Delete a unit with all that was measured and heard of it', 200)
  unit(@Id() id: string, @AskedAll(Seen) { version }: Seen, @Person() by: SignedIn): Promise<Binned> {
    return this.deletions.unit(id, version, by);
  }

  @Route('DELETE', 'sets/:id', 'member', 'Delete a measurement set with its files and results', 200)
  set(@Id() id: string, @AskedAll(Seen) { version }: Seen, @Person() by: SignedIn): Promise<Binned> {
    return this.deletions.set(id, version, by);
  }

  @Route('DELETE', 'reports/:id', 'member', 'Delete a condition report that is not signed', 200)
  report(@Id() id: string, @AskedAll(Seen) { version }: Seen, @Person() by: SignedIn): Promise<Binned> {
    return this.deletions.report(id, version, by);
  }

  @Route('DELETE', 'photographs/:id', 'member', 'Delete a photograph of a report that is not signed', 200)
  photograph(@Id() id: string, @AskedAll(Seen) { version }: Seen, @Person() by: SignedIn): Promise<Binned> {
    return this.deletions.photograph(id, version, by);
  }

  @Route('DELETE', 'listening/:id', 'member', 'Delete one’s own listening session', 200)
  listening(@Id() id: string, @AskedAll(Seen) { version }: Seen, @Person() by: SignedIn): Promise<Binned> {
    return this.deletions.listening(id, version, by);
  }

  @Route(
    'DELETE',
    'loans/:id/draft/comments/:comment',
    'member',
    'Delete one’s own comment with the answers to it',
    200,
  )
  comment(
    @Id() id: string,
    @Id('comment') comment: string,
    @AskedAll(Seen) { version }: Seen,
    @Person() by: SignedIn,
  ): Promise<Binned> {
    return this.deletions.comment(id, comment, version, by);
  }
}
