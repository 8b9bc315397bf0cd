/** Every route of a server from its own description, with real things put in the place of its parameters. */
import type { Access } from '../../apps/server/http/route.js';
import type { Database } from '../../libs/store/index.js';

export interface DescribedRoute {
  readonly method: string;
  readonly path: string;
  readonly access: Access | undefined;
  readonly neededQuery: readonly string[];
}

export async function describedRoutes(url: string): Promise<DescribedRoute[]> {
  const document = (await (await fetch(`${url}/api/openapi.json`)).json()) as {
    paths: Record<
      string,
      Record<string, { 'x-access'?: Access; parameters?: { in: string; name: string; required?: boolean }[] }>
    >;
  };
  return Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, route]) => ({
      method: method.toUpperCase(),
      path,
      access: route['x-access'],
      neededQuery: (route.parameters ?? [])
        .filter(({ in: place, required }) => place === 'query' && required)
        .map(({ name }) => name),
    })),
  );
}

/** What fills a parameter: by the whole of the address before it, or by its name alone. */
export type Fillers = Readonly<Record<string, readonly string[]>>;

/**
 * Addresses of a route with every filling of its parameters.
 * @throws Error naming the parameter that nothing fills
 */
export function addressesOf({ path }: Pick<DescribedRoute, 'path'>, fillers: Fillers): string[] {
  let addresses = [''];
  let before = '';
  for (const part of path.split('/').slice(1)) {
    const name = /^\{(.+)\}$/.exec(part)?.[1];
    const values = name === undefined ? [part] : (fillers[`${before}/{${name}}`] ?? fillers[name]);
    if (!values || values.length === 0) {
      throw new Error(
        `Nothing fills {${name ?? ''}} of ${path}: plant one in leakScene.ts and name it in leakFillers.ts.`,
      );
    }
    addresses = addresses.flatMap((address) =>
      values.map((value) => `${address}/${encodeURIComponent(value)}`),
    );
    before = `${before}/${part}`;
  }
  return addresses;
}

/**
 * Ids for `/api/THINGS/{id}` by the table whose name the word begins: a table that is added is found by its name, and
 * one without rows fills nothing.
 */
export async function idsByTable(database: Database): Promise<ReadonlyMap<string, readonly string[]>> {
  const tables = await database.pool.query<{ name: string }>(
    `select table_name as name from information_schema.columns
     where table_schema = 'public' and column_name = 'id' and data_type = 'uuid'`,
  );
  const found = new Map<string, readonly string[]>();
  for (const { name } of tables.rows) {
    const rows = await database.pool.query<{ id: string }>(
      `select "id"::text as id from "${name}" order by "id" limit 3`,
    );
    found.set(
      name.toLowerCase(),
      rows.rows.map(({ id }) => id),
    );
  }
  return found;
}

const singular = (word: string): string =>
  word.endsWith('yses') ? `${word.slice(0, -2)}is` : word.replace(/ies$/, 'y').replace(/s$/, '');

export function fillersByTable(
  routes: readonly DescribedRoute[],
  ids: ReadonlyMap<string, readonly string[]>,
): Fillers {
  const fillers: Record<string, readonly string[]> = {};
  for (const { path } of routes) {
    for (const [, before = '', word = '', name = ''] of path.matchAll(
      /^(.*?\/([a-z-]+))\/\{(\w*id\w*)\}/gi,
    )) {
      const one = singular(word.replaceAll('-', ''));
      const fitting = [...ids].filter(([table]) => table.startsWith(one) || table.endsWith(one));
      fillers[`${before}/{${name}}`] = fitting.flatMap(([, values]) => values).slice(0, 4);
    }
  }
  return fillers;
}
