/** Makers and the people there. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import type { AddMaker, ChangeMaker, MakerView } from '../../../libs/contracts/index.js';
import { change, differences, putInBin, writeVersion, type Change } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { loadMaker, loadMakers } from './loanRows.js';

@Injectable()
export class Makers {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  list(): Promise<MakerView[]> {
    return loadMakers(this.config.database);
  }

  one(id: string): Promise<MakerView> {
    return loadMaker(this.config.database, id);
  }

  async add(ask: z.output<typeof AddMaker>, by: SignedIn): Promise<MakerView> {
    const { contacts, ...fields } = ask;
    const id = await change(this.config.database, by, async (made) => {
      const maker = await made.tx.maker.create({ data: { ...fields, contacts: { create: contacts } } });
      tell(made, maker.id, maker.name, 'added');
      return maker.id;
    });
    return this.one(id);
  }

  async change(id: string, ask: z.output<typeof ChangeMaker>, by: SignedIn): Promise<MakerView> {
    const { contacts, version, ...fields } = ask;
    await change(this.config.database, by, async (made) => {
      const { before, after } = await writeVersion<{ name: string }>(made.tx.maker, id, version, fields);
      if (contacts) {
        await replaceContacts(made, id, after.name, contacts);
      }
      tell(made, id, after.name, 'changed', differences(before, after));
    });
    return this.one(id);
  }
}

type ContactFields = z.output<typeof AddMaker>['contacts'][number];

/** Those that are the same stay as they are; those no longer named go to the bin. */
async function replaceContacts(
  made: Change,
  makerId: string,
  within: string,
  wanted: readonly ContactFields[],
): Promise<void> {
  const left = [...wanted];
  for (const contact of await made.tx.contact.findMany({ where: { makerId }, orderBy: { id: 'asc' } })) {
    const same = left.findIndex(
      ({ name, email, phone, duty }) =>
        name === contact.name && email === contact.email && phone === contact.phone && duty === contact.duty,
    );
    if (same >= 0) {
      left.splice(same, 1);
      continue;
    }
    const root = { table: 'Contact', column: 'id', value: contact.id } as const;
    await putInBin(made, { kind: 'contact', root, title: contact.name, within });
  }
  await made.tx.contact.createMany({ data: left.map((contact) => ({ ...contact, makerId })) });
}

function tell(
  made: Change,
  makerId: string,
  name: string,
  what: 'added' | 'changed',
  difference?: object,
): void {
  made.record({
    action: `maker-${what}`,
    subject: 'maker',
    subjectId: makerId,
    sentence: `${what} the maker ${name}`,
    ...difference,
  });
  made.publish('team', 'maker-changed', {
    makerId,
    name,
    by: made.actor.name,
    sentence: `${name} was ${what}`,
  });
}
