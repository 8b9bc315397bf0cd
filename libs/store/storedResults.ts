/**
 * Whole results: half a megabyte each, mostly numbers. One that answers no set any more (an earlier algorithm's, that of
 * a set laid aside) is kept compressed, and read like any other.
 */
import { promisify } from 'node:util';
import { brotliCompress, brotliDecompress, constants } from 'node:zlib';
import type { Database } from './database.js';

const compress = promisify(brotliCompress);
const decompress = promisify(brotliDecompress);
/** Better ones take twenty times as long for a quarter less. */
const QUALITY = 5;

export async function storedResult(row: {
  readonly result: unknown;
  readonly packedResult: Uint8Array | null;
}): Promise<unknown> {
  if (row.packedResult === null) return row.result;
  return JSON.parse((await decompress(row.packedResult)).toString('utf8'));
}

export const packResult = (result: unknown): Promise<Buffer> =>
  compress(JSON.stringify(result), { params: { [constants.BROTLI_PARAM_QUALITY]: QUALITY } });

/**
 * Packs up to `most` results that are not the newest of any set that counts. A review that is out has its own numbers
 * and files; a set that counts again is read from what was packed.
 *
 * @returns how many were packed
 */
export async function packOldResults({ pool }: Database, most: number): Promise<number> {
  const old = await pool.query<{ id: string }>(
    `select c."id" from "Computation" c
     where c."state" = 'done' and c."result" is not null and not exists (
       select 1 from "Analysis" n join "MeasurementSet" s on s."id" = n."setId"
       where n."computationId" = c."id" and s."setAsideWhy" is null and not exists (
         select 1 from "Analysis" later join "Computation" d on d."id" = later."computationId"
         where later."setId" = n."setId" and d."state" = 'done'
         and (later."createdAt", later."id") > (n."createdAt", n."id")))
     limit $1`,
    [most],
  );
  let packed = 0;
  for (const { id } of old.rows) {
    const { rows } = await pool.query<{ result: unknown }>(
      'select "result" from "Computation" where "id" = $1 and "result" is not null',
      [id],
    );
    if (!rows[0]) continue;
    const bytes = await packResult(rows[0].result);
    const { rowCount } = await pool.query(
      `update "Computation" set "packedResult" = $2, "result" = null where "id" = $1 and "state" = 'done' and "result" is not null`,
      [id, bytes],
    );
    packed += rowCount ?? 0;
  }
  return packed;
}
