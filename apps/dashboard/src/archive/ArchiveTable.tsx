/** The units found: a table that sorts by its heads; on a phone a card each. */
import { Link } from 'react-router';
import { useHere } from '../app/session.js';
import {
  archiveNumbers,
  MOST_COMPARED,
  unitKindWords,
  type ArchivedUnitView,
  type ArchiveNumber,
  type ArchiveOrder,
} from '../contracts.js';
import { Day, InventedMark, Quantity } from '../kit/index.js';
import { numberTitle, shownNumbers, sortedBy, type ArchiveAsk } from './archiveAddress.js';

interface TableProps {
  readonly rows: readonly ArchivedUnitView[];
  readonly ask: ArchiveAsk;
  readonly chosen: readonly string[];
  readonly onAsk: (ask: ArchiveAsk) => void;
  readonly onChoose: (ids: readonly string[]) => void;
}
/** A wide table scrolls in its own frame; without a place for the focus no key could scroll it. */
const scrolledByKeyboard = { tabIndex: 0 };

export function ArchiveTable({ rows, ask, chosen, onAsk, onChoose }: TableProps) {
  const numbers = shownNumbers(ask);
  const head = { ask, onAsk };
  return (
    <section className="scroll-x archive-frame" {...scrolledByKeyboard} aria-label="Table of units">
      <table className="list-table archive-table">
        <thead>
          <tr>
            <th scope="col">
              <span className="hidden">Compare</span>
            </th>
            <SortHead {...head} by="name" words="Unit" />
            {numbers.map((name) => (
              <SortHead key={name} {...head} by={name} words={numberTitle(name)} />
            ))}
            <SortHead {...head} by="measured" words="Measured" />
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={row.unitId} row={row} numbers={numbers} chosen={chosen} onChoose={onChoose} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

export function SortHead(props: {
  ask: ArchiveAsk;
  onAsk: (ask: ArchiveAsk) => void;
  by: ArchiveOrder;
  words: string;
}) {
  const { ask, by } = props;
  const sorted = ask.sort === by;
  const direction = ask.order === 'rising' ? 'ascending' : 'descending';
  return (
    <th
      scope="col"
      aria-sort={sorted ? direction : undefined}
      className={by in archiveNumbers ? 'archive-n' : undefined}
    >
      <button type="button" className="archive-sort" onClick={() => props.onAsk(sortedBy(ask, by))}>
        {props.words}
        {sorted && <span aria-hidden="true">{ask.order === 'rising' ? ' ↑' : ' ↓'}</span>}
      </button>
    </th>
  );
}

function Row(props: {
  row: ArchivedUnitView;
  numbers: readonly ArchiveNumber[];
  chosen: readonly string[];
  onChoose: (ids: readonly string[]) => void;
}) {
  const { row, chosen } = props;
  const { session } = useHere();
  const ticked = chosen.includes(row.unitId);
  const drawn = row.responseAnalysisId !== null;
  return (
    <tr>
      <td className="archive-tick">
        <input
          type="checkbox"
          aria-label={`Compare ${row.unitName}`}
          title={drawn ? undefined : 'Only its impedance was measured: there is no curve to lay over others'}
          checked={ticked}
          disabled={!ticked && (!drawn || chosen.length >= MOST_COMPARED)}
          onChange={() =>
            props.onChoose(ticked ? chosen.filter((id) => id !== row.unitId) : [...chosen, row.unitId])
          }
        />
      </td>
      <th scope="row" className="archive-unit">
        <Link to={`/units/${row.unitId}/results`}>{row.unitName}</Link>{' '}
        {row.invented && !session.invented && <InventedMark />}
        <div className="small soft">
          {row.makerName}, {unitKindWords[row.kind].toLowerCase()}
        </div>
        <div className="small soft">
          in <Link to={`/loans/${row.loanId}`}>{row.loanTitle}</Link>
        </div>
      </th>
      {props.numbers.map((name) => (
        <td key={name} className="archive-n" data-label={numberTitle(name)}>
          <NumberOf name={name} value={row.numbers[name]} />
        </td>
      ))}
      <td className="archive-when" data-label="Measured">
        <Day day={row.measuredAt.slice(0, 10)} relative={false} />
      </td>
    </tr>
  );
}

export function NumberOf({ name, value }: { name: ArchiveNumber; value: number | null }) {
  const { words, unit } = archiveNumbers[name];
  return (
    <Quantity
      value={value}
      unit={unit}
      signed={name === 'inRoomSlopeDbPerOctave'}
      prefix={words.endsWith('±') ? '±' : ''}
      none="–"
    />
  );
}
