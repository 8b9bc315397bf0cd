/**
 * The peer of `reads.ts`: the barest server that answers the same questions from the same database. One query says who
 * asks, by the hash of their cookie; one more makes the answer.
 */
import { createHash } from 'node:crypto';
import fastifyCookie from '@fastify/cookie';
import { fastify } from 'fastify';
import pg from 'pg';
import { COOKIE } from '../../apps/server/access/sessions.js';

const pool = new pg.Pool({ connectionString: process.argv[2], max: 10 });
const server = fastify();
await server.register(fastifyCookie);

server.addHook('preHandler', async (request, reply) => {
  const tokenHash = createHash('sha256')
    .update(request.cookies[COOKIE] ?? '')
    .digest('hex');
  const found = await pool.query({
    name: 'who',
    text: `select a."id" from "Session" s join "Account" a on a."id" = s."accountId"
           where s."tokenHash" = $1 and s."expiresAt" > now() and a."disabledAt" is null and a."role" <> 'viewer'`,
    values: [tokenHash],
  });
  if (found.rows.length === 0) return reply.code(401).send({ code: 'sign-in' });
});

const MAKER = `select m."id", m."name", m."website", m."notes",
  coalesce((select jsonb_agg(jsonb_build_object('id', c."id", 'name', c."name", 'email', c."email",
    'phone', c."phone", 'duty', c."duty") order by c."name") from "Contact" c where c."makerId" = m."id"), '[]') as "contacts",
  (select count(*)::int from "Loan" l where l."makerId" = m."id") as "loanCount", m."invented", m."version" from "Maker" m`;

server.get<{ Params: { id: string } }>('/api/makers/:id', async ({ params }) => {
  const text = `${MAKER} where m."id" = $1`;
  return (await pool.query<object>({ name: 'maker', text, values: [params.id] })).rows[0];
});
server.get('/api/makers', async () => {
  const text = `${MAKER} order by m."name"`;
  return (await pool.query<object>({ name: 'makers', text })).rows;
});

process.send?.(await server.listen({ port: 0, host: '127.0.0.1' }));
