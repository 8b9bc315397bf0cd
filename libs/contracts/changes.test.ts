import { describe, expect, it } from 'vitest';
import type { z } from 'zod';
import * as contract from './index.js';

/** Every request that changes part of something, with the least it may hold. */
const changes: Readonly<Record<string, { schema: z.ZodType; least: object }>> = {
  maker: { schema: contract.ChangeMaker, least: { version: 1 } },
  loan: { schema: contract.ChangeLoan, least: { version: 1 } },
  unit: { schema: contract.ChangeUnit, least: { version: 1 } },
  accessory: { schema: contract.ChangeAccessory, least: { version: 1 } },
  report: { schema: contract.ChangeReport, least: { version: 1 } },
  verdict: { schema: contract.ChangeVerdict, least: { version: 0 } },
  listening: { schema: contract.ChangeListening, least: { version: 1 } },
  set: { schema: contract.ChangeSet, least: { version: 1 } },
  person: { schema: contract.ChangePerson, least: { version: 1 } },
  house: { schema: contract.ChangeHouse, least: { version: 1 } },
  place: { schema: contract.ChangePlace, least: { version: 1 } },
  notifications: { schema: contract.ChangeNotifications, least: { version: 0 } },
  booking: { schema: contract.ChangeBooking, least: { version: 1 } },
  photograph: { schema: contract.ChangePhotograph, least: { version: 1 } },
  publicationHouse: { schema: contract.ChangePublicationHouse, least: { version: 1 } },
  draftComment: { schema: contract.ChangeDraftComment, least: { version: 1 } },
  draftHouse: { schema: contract.ChangeDraftHouse, least: { version: 0 } },
  preview: { schema: contract.ChangePreview, least: { version: 1 } },
  personHours: { schema: contract.ChangePersonHours, least: { version: 0 } },
  backupPlan: { schema: contract.ChangeBackupPlan, least: { version: 1 } },
};
/** Whole answers to one question, not parts of a record. */
const whole = ['ChangePassword', 'ChangeTemplate', 'ChangeUploadQuota'];

describe('a change', () => {
  it.each(Object.entries(changes))(
    'of a %s fills in nothing that was not sent',
    (_name, { schema, least }) => {
      expect(schema.parse(least)).toEqual(least);
    },
  );
  it('covers every request that changes something', () => {
    const named = Object.keys(contract).filter((name) => name.startsWith('Change') && !whole.includes(name));
    expect(named.toSorted()).toEqual(
      Object.keys(changes)
        .map((name) => `Change${name.charAt(0).toUpperCase()}${name.slice(1)}`)
        .toSorted(),
    );
  });
});
