/** The import table of the house: arrows point down only. `test/house/imports.test.ts` runs it. */
const only = (name, from, to, comment) => ({ name, severity: 'error', comment, from, to });

module.exports = {
  forbidden: [
    only('no-cycles', {}, { circular: true }, 'A cycle hides where a thing begins.'),
    only(
      'apps-stand-alone',
      { path: '^apps/([^/]+)/' },
      { path: '^apps/', pathNot: '^apps/$1/' },
      'Apps never import apps; what two share is a library.',
    ),
    only(
      'libs-below-apps',
      { path: '^(libs|seed)/' },
      { path: '^(apps|scripts|test)/', pathNot: '^test/fixtures/' },
      'Arrows point down.',
    ),
    only(
      'pure-libs-are-alone',
      { path: '^libs/(acoustics|planning|evidence)/', pathNot: '\\.test\\.ts$' },
      { path: '^(libs|seed)/', pathNot: '^libs/$1/' },
      'The acoustics, the planning and the evidence import nothing of ours.',
    ),
    only(
      'pure-libs-know-no-framework',
      { path: '^libs/(acoustics|planning|evidence)/', pathNot: '\\.test\\.ts$' },
      { path: 'node_modules/(@nestjs|@prisma|bullmq|ioredis|fastify|react|socket\\.io|pg)/' },
      'No framework in pure code.',
    ),
    only(
      'server-computes-nothing',
      { path: '^apps/server/' },
      { path: '^libs/acoustics/' },
      'Requests never compute; the worker does.',
    ),
    only(
      'stores-know-no-acoustics',
      { path: '^libs/(store|jobs|blobs)/' },
      { path: '^libs/acoustics/' },
      'What keeps things does not know what they mean.',
    ),
    only(
      'one-door-to-prisma',
      { pathNot: '^libs/store/' },
      { path: '(node_modules/@prisma/|libs/store/generated/)', pathNot: 'prisma/config' },
      'Only the store knows Prisma.',
    ),
    only(
      'one-door-to-the-queue',
      { pathNot: ['^libs/jobs/', '^apps/server/live/liveSockets\\.ts$'] },
      { path: 'node_modules/(bullmq|ioredis)/' },
      'Only the jobs library knows the queue; the sockets’ own fan-out needs a Redis connection.',
    ),
    only(
      'dashboard-through-contracts',
      { path: '^apps/dashboard/' },
      {
        path: '^(libs|seed)/',
        pathNot: ['^libs/contracts/', '^libs/figures/', '^libs/drafts/', '^libs/acoustics/cautions/'],
      },
      'The dashboard talks only through the contracts; figures are drawn from one description on both sides.',
    ),
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
    exclude: { path: ['^dist', 'libs/store/generated/'] },
    enhancedResolveOptions: { extensions: ['.ts', '.tsx', '.mjs', '.js'] },
  },
};
