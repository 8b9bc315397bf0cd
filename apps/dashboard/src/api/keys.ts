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
  /** Everything of the plan: what is booked and what should change. */
  plan: ['plan'],
  bookings: (from: string, to: string) => ['plan', 'bookings', from, to],
  workload: (from: string, weeks: number) => ['plan', 'workload', from, String(weeks)],
  loanSteps: (id: string) => ['loan', id, 'steps'],
  /** Hours, places, absences and the templates of work. */
  calendars: ['calendars'],
  house: ['calendars', 'house'],
  templates: ['calendars', 'templates'],
  estimates: ['calendars', 'estimates'],
  notifications: ['notifications'],
  calendarFeed: ['calendar-feed'],
} as const;
export type Key = readonly string[];
