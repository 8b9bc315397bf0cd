/** What the archive page asks for, held in its address so that a search can be sent to a colleague. */
import {
  ArchiveQuery,
  archiveNumberNames,
  archiveNumbers,
  MOST_COMPARED,
  type ArchiveNumber,
  type ArchiveOrder,
  type UnitKind,
} from '../contracts.js';
import { parseNumber } from '../words/numbers.js';

type Read = ReturnType<typeof ArchiveQuery.parse>;
/** As the server would fill it in. */
export type ArchiveAsk = Read;

const fields = Object.entries(ArchiveQuery.shape);

/** What an address asks for; a part that makes no sense is left out rather than refused. */
export function readAsk(address: URLSearchParams): ArchiveAsk {
  const given = fields.flatMap(([name, schema]) => {
    const value = address.get(name);
    return value !== null && value !== '' && schema.safeParse(value).success ? [[name, value] as const] : [];
  });
  const whole = ArchiveQuery.safeParse(Object.fromEntries(given));
  if (whole.success) return whole.data;
  // Only limits that exclude each other are left to object to.
  const kept = given.filter(([name]) => !/(Min|Max)$/.test(name));
  return ArchiveQuery.parse(Object.fromEntries(kept));
}

/** The units ticked for comparison, in the order they were ticked. */
export function readChosen(address: URLSearchParams): string[] {
  return readUnits(address.get('chosen'));
}
export function readUnits(text: string | null): string[] {
  const ids = (text ?? '').toLowerCase().split(',');
  return [...new Set(ids.filter((id) => /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(id)))].slice(
    0,
    MOST_COMPARED,
  );
}

/** The address for this ask; what is as by default is left out. */
export function writeAsk(ask: ArchiveAsk, chosen: readonly string[]): URLSearchParams {
  const plain = ArchiveQuery.parse({}) as Readonly<Record<string, unknown>>;
  const parts = Object.entries(ask).flatMap(([name, value]) =>
    value === undefined || value === '' || value === plain[name] ? [] : [[name, String(value)]],
  );
  return new URLSearchParams([...parts, ...(chosen.length > 0 ? [['chosen', chosen.join(',')]] : [])]);
}

const smallestFirst: ReadonlySet<ArchiveOrder> = new Set([
  'name',
  'maker',
  'f3Hz',
  'f6Hz',
  'f10Hz',
  'onAxisWithinDb',
  'listeningWindowWithinDb',
]);

/** Sorted by this: the other way round when it is already, else the way one mostly wants it; from the first page. */
export function sortedBy(ask: ArchiveAsk, sort: ArchiveOrder): ArchiveAsk {
  const first = smallestFirst.has(sort) ? 'rising' : 'falling';
  const other = ask.order === 'rising' ? 'falling' : 'rising';
  return { ...ask, sort, order: ask.sort === sort ? other : first, page: 1 };
}

/** What is typed into the search form. */
export interface SearchDraft {
  readonly text: string;
  readonly kinds: readonly UnitKind[];
  readonly makerId: string;
  readonly limits: Readonly<Record<ArchiveNumber, { readonly least: string; readonly most: string }>>;
}

export function draftOf(ask: ArchiveAsk): SearchDraft {
  const typed = (value: number | undefined) => (value === undefined ? '' : String(value));
  const limits = Object.fromEntries(
    archiveNumberNames.map((name) => [
      name,
      { least: typed(ask[`${name}Min`]), most: typed(ask[`${name}Max`]) },
    ]),
  ) as SearchDraft['limits'];
  return { text: ask.text ?? '', kinds: ask.kinds ?? [], makerId: ask.makerId ?? '', limits };
}

/** The ask for a draft, from the first page; or what is wrong, by number. */
export function askOf(
  draft: SearchDraft,
  before: ArchiveAsk,
): { readonly ask: ArchiveAsk } | { readonly wrong: Partial<Record<ArchiveNumber, string>> } {
  const wrong: Partial<Record<ArchiveNumber, string>> = {};
  const bounds: Record<string, number> = {};
  for (const name of archiveNumberNames) {
    const least = parseNumber(draft.limits[name].least);
    const most = parseNumber(draft.limits[name].most);
    if (Number.isNaN(least) || Number.isNaN(most)) wrong[name] = 'Give a number such as 60 or 4.5.';
    else if (least !== null && most !== null && least > most) {
      wrong[name] = `At least ${least} and at most ${most} leaves nothing; swap them.`;
    }
    if (least !== null) bounds[`${name}Min`] = least;
    if (most !== null) bounds[`${name}Max`] = most;
  }
  if (Object.keys(wrong).length > 0) return { wrong };
  const { sort, order, pageSize } = before;
  return {
    ask: {
      sort,
      order,
      pageSize,
      page: 1,
      ...(draft.text.trim() === '' ? {} : { text: draft.text.trim().slice(0, 200) }),
      ...(draft.kinds.length === 0 ? {} : { kinds: [...draft.kinds] }),
      ...(draft.makerId === '' ? {} : { makerId: draft.makerId }),
      ...bounds,
    },
  };
}

/** How many numbers are limited. */
export function limitedNumbers(ask: ArchiveAsk): ArchiveNumber[] {
  return archiveNumberNames.filter(
    (name) => ask[`${name}Min`] !== undefined || ask[`${name}Max`] !== undefined,
  );
}

/** The columns of the list: the usual ones, and what it is limited or sorted by. */
const usual: readonly ArchiveNumber[] = [
  'sensitivityDb',
  'f3Hz',
  'listeningWindowWithinDb',
  'coverageDeg',
  'predictedPreference',
  'minimumOhm',
];
export function shownNumbers(ask: ArchiveAsk): ArchiveNumber[] {
  const asked = new Set<ArchiveOrder>([...limitedNumbers(ask), ask.sort]);
  return archiveNumberNames.filter((name) => usual.includes(name) || asked.has(name));
}

/** As a column's head; the cells have the units. */
export const numberTitle = (name: ArchiveNumber): string => archiveNumbers[name].words.replace(/ ±$/, '');
