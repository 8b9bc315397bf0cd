/**
 * How many changes one database takes in a second: every change locks the row that numbers events, so they are committed
 * one after the other, however many servers ask. Smallest changes of the house's own code: a line of the history and
 * an event each. Those who ask run in this process, on the same cores as the database and the server that tells them.
 */
import { change, theHouse } from '../../../libs/store/change.js';
import { openDatabase } from '../../../libs/store/database.js';
import { databaseUrlOf } from '../../seams/databaseOf.js';
import type { House } from '../house.js';
import { costRow, type BenchRow } from '../row.js';

const WRITERS = 8;
const WARM_UP_MS = 500;
const DURING_MS = 4000;

const said = { name: 'Wren & Sedge (invented)', by: theHouse.name, sentence: 'was counted' };

export async function commitsASecond({ installation, host }: House): Promise<BenchRow[]> {
  const { id: makerId } = await host.client.addMaker({ name: said.name });
  const database = openDatabase(await databaseUrlOf(installation), WRITERS);
  try {
    const write = () =>
      change(database, theHouse, async (made) => {
        made.record({
          action: 'maker-changed',
          subject: 'maker',
          subjectId: makerId,
          sentence: said.sentence,
        });
        made.publish('team', 'maker-changed', { makerId, ...said });
      });
    const writeFor = async (ms: number): Promise<number> => {
      let written = 0;
      const ends = performance.now() + ms;
      const one = async () => {
        for (; performance.now() < ends; written++) await write();
      };
      await Promise.all(Array.from({ length: WRITERS }, one));
      return written;
    };
    await writeFor(WARM_UP_MS);
    const began = performance.now();
    const written = await writeFor(DURING_MS);
    const perSecond = (written * 1000) / (performance.now() - began);
    return [
      {
        ...costRow(
          `changes one database takes in a second, from ${WRITERS} at once`,
          perSecond,
          '1/s',
          written,
        ),
        higherIsBetter: true,
      },
    ];
  } finally {
    await database.close();
  }
}
