/** The examples of the OpenAPI document, taken out of it and run with an access token at a real server. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { makeInstallation, type Installation } from './installation.js';
import { setUpOwner, waitFor } from './visitor.js';

type JsonSchema = Parameters<typeof z.fromJSONSchema>[0];
interface Described {
  readonly parameters?: { readonly name: string; readonly in: string; readonly example?: unknown }[];
  readonly requestBody?: { readonly content: Record<string, { readonly example?: unknown }> };
  readonly responses: Record<
    string,
    { readonly content?: Record<string, { readonly schema: JsonSchema; readonly example?: unknown }> }
  >;
  readonly 'x-scopes': readonly string[];
}
interface Example {
  readonly route: string;
  readonly method: string;
  readonly path: string;
  readonly query: string;
  readonly mediaType: string | undefined;
  readonly body: string | undefined;
  readonly status: number;
  readonly schema: z.ZodType;
  readonly answer: unknown;
  readonly scopes: readonly string[];
}

const ID = /[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}/g;
/** Files are there before a set is analysed; what is made and changed comes before what asks for it. */
const ORDER = ['PUT', 'POST', 'PATCH', 'GET'];

describe('the examples of the OpenAPI document', () => {
  let installation: Installation;
  let url: string;
  let token: string;
  let examples: Example[];

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    ({ url } = await installation.start());
    const host = await setUpOwner(url);
    const opened = await host.client.addToken({ name: 'Examples', scopes: ['read', 'measure', 'loans'] });
    token = opened.token ?? '';
    examples = examplesOf(await (await fetch(`${url}/api/openapi.json`)).json());
  });
  afterAll(() => installation.remove());

  it('are there for what programs do most, each in the shape it is said to have', () => {
    const routes = examples.map(({ route }) => route);
    for (const thing of ['makers', 'loans', 'sets', 'files', 'analyses', 'feed'])
      expect(routes.filter((route) => route.endsWith(`/${thing}`))).not.toEqual([]);
    for (const { route, schema, answer, scopes } of examples) {
      expect([route, schema.safeParse(answer).error?.issues]).toEqual([route, undefined]);
      expect([route, scopes]).not.toEqual([route, []]);
    }
  });

  it('are answered as they say', async () => {
    /** Ids of the document by those the server gave instead. */
    const known = new Map<string, string>();
    const waiting = [...examples];
    while (waiting.length > 0) {
      const at = waiting.findIndex(({ path, body = '' }) => idsIn(path + body).every((id) => known.has(id)));
      if (at < 0) throw new Error(`Nothing makes what ${waiting[0]?.route ?? ''} names.`);
      const [example] = waiting.splice(at, 1) as [Example];
      const answer = await waitFor(() => answerOf(example, known), `${example.route} as in its example`);
      learnIds(example.answer, answer, known);
    }
    expect(known.size).toBe(6);
  });

  /** Undefined while an analysis is still at work. */
  async function answerOf(example: Example, known: ReadonlyMap<string, string>): Promise<unknown> {
    const real = (text: string) => text.replaceAll(ID, (id) => known.get(id) ?? id);
    const answer = await fetch(`${url}${real(example.path)}${example.query}`, {
      method: example.method,
      headers: {
        authorization: `Bearer ${token}`,
        ...(example.mediaType ? { 'content-type': example.mediaType } : {}),
      },
      ...(example.body === undefined ? {} : { body: real(example.body) }),
    });
    const said: unknown = await answer.json();
    expect([example.route, answer.status, said]).toEqual([example.route, example.status, said]);
    expect([example.route, example.schema.safeParse(said).error?.issues]).toEqual([example.route, undefined]);
    const states = [example.answer, said].map((one) => (one as { state?: string } | null)?.state);
    return example.method === 'GET' && states[0] !== states[1] ? undefined : said;
  }
});

const idsIn = (text: string): string[] => text.match(ID) ?? [];

function examplesOf(document: unknown): Example[] {
  const { paths } = document as { paths: Record<string, Record<string, Described>> };
  const found = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).flatMap(([method, described]) => exampleOf(method, path, described)),
  );
  return found.sort((a, b) => ORDER.indexOf(a.method) - ORDER.indexOf(b.method));
}

function exampleOf(method: string, path: string, described: Described): Example[] {
  const answered = Object.entries(described.responses).flatMap(([status, { content }]) =>
    Object.values(content ?? {}).flatMap(({ schema, example }) =>
      example === undefined ? [] : { status: Number(status), schema, answer: example },
    ),
  );
  const given = (described.parameters ?? []).filter(({ example }) => example !== undefined);
  const query = given
    .filter((parameter) => parameter.in === 'query')
    .map(({ name, example }) => `${name}=${encodeURIComponent(String(example))}`);
  const inPath = given.filter((parameter) => parameter.in === 'path');
  const [mediaType, sent] = Object.entries(described.requestBody?.content ?? {})[0] ?? [];
  const body = typeof sent?.example === 'string' ? sent.example : JSON.stringify(sent?.example);
  return answered.map(({ status, schema, answer }) => ({
    route: `${method.toUpperCase()} ${path}`,
    method: method.toUpperCase(),
    path: inPath.reduce((text, { name, example }) => text.replace(`{${name}}`, String(example)), path),
    query: query.length > 0 ? `?${query.join('&')}` : '',
    mediaType,
    body,
    status,
    schema: z.fromJSONSchema(schema, { defaultTarget: 'openapi-3.0' }),
    answer,
    scopes: described['x-scopes'],
  }));
}

/** Where an example has an id, the answer has the one the server gave. */
function learnIds(example: unknown, answer: unknown, known: Map<string, string>): void {
  if (typeof example === 'string' && typeof answer === 'string') {
    if (idsIn(example)[0] === example && !known.has(example)) known.set(example, answer);
  } else if (
    typeof example === 'object' &&
    example !== null &&
    typeof answer === 'object' &&
    answer !== null
  ) {
    for (const [key, inner] of Object.entries(example))
      learnIds(inner, (answer as Record<string, unknown>)[key], known);
  }
}
