/** The names under which answers are kept; live events name the same ones. */
export const keys = {
  session: ['session'],
  dashboard: ['dashboard'],
  loans: ['loans'],
  loan: (id: string) => ['loan', id],
  loanHistory: (id: string) => ['loan-history', id],
  unit: (id: string) => ['unit', id],
  evidence: (unitId: string) => ['evidence', unitId],
  sealRecord: (sessionId: string) => ['seal', sessionId],
  publishedSeals: (loanId: string) => ['published-seals', loanId],
  sets: (unitId: string) => ['sets', unitId],
  description: (url: string) => ['figure', url],
  makers: ['makers'],
  maker: (id: string) => ['maker', id],
  people: ['people'],
  invitations: ['invitations'],
  history: ['history'],
  published: ['published'],
} as const;
export type Key = readonly string[];
