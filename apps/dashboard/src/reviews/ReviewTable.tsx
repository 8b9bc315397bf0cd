/** Published units: a table that sorts by its heads; on a phone a card each. */
import { Link } from 'react-router';
import { numberTitle, shownNumbers, type ArchiveAsk } from '../archive/archiveAddress.js';
import { NumberOf, SortHead } from '../archive/ArchiveTable.js';
import {
  MOST_COMPARED,
  unitKindWords,
  type ArchiveNumber,
  type ArchiveOrder,
  type ReviewUnitView,
} from '../contracts.js';
import { Day, InventedMark } from '../kit/index.js';

/** A wide table scrolls in its own frame; without a place for the focus no key could scroll it. */
const scrolledByKeyboard = { tabIndex: 0 };

export function ReviewTable(props: {
  rows: readonly ReviewUnitView[];
  ask: ArchiveAsk;
  chosen: readonly string[];
  onAsk: (ask: ArchiveAsk) => void;
  onChoose: (ids: readonly string[]) => void;
}) {
  const { rows, ask } = props;
  // A number no unit here has is no column.
  const numbers = shownNumbers(ask).filter((name) => rows.some((row) => row.numbers[name] !== null));
  const head = (by: ArchiveOrder, words: string) => (
    <SortHead key={by} by={by} words={words} ask={ask} onAsk={props.onAsk} />
  );
  return (
    <section className="scroll-x archive-frame" {...scrolledByKeyboard} aria-label="Table of units">
      <table className="list-table archive-table">
        <thead>
          <tr>
            <th scope="col">
              <span className="hidden">Compare</span>
            </th>
            {head('name', 'Unit')}
            {numbers.map((name) => head(name, numberTitle(name)))}
            {head('measured', 'Published')}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={row.id} row={row} numbers={numbers} chosen={props.chosen} onChoose={props.onChoose} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Row(props: {
  row: ReviewUnitView;
  numbers: readonly ArchiveNumber[];
  chosen: readonly string[];
  onChoose: (ids: readonly string[]) => void;
}) {
  const { row, chosen } = props;
  const ticked = chosen.includes(row.id);
  return (
    <tr>
      <td className="archive-tick">
        <input
          type="checkbox"
          aria-label={`Compare ${row.name}`}
          checked={ticked}
          disabled={!ticked && (!row.hasCurves || chosen.length >= MOST_COMPARED)}
          onChange={() => props.onChoose(ticked ? chosen.filter((id) => id !== row.id) : [...chosen, row.id])}
        />
      </td>
      <th scope="row" className="archive-unit">
        <Link to={`/reviews/${row.loanId}`}>{row.name}</Link> {row.invented && <InventedMark />}
        <div className="small soft">
          {row.makerName}, {unitKindWords[row.kind].toLowerCase()}
        </div>
      </th>
      {props.numbers.map((name) => (
        <td key={name} className="archive-n" data-label={numberTitle(name)}>
          <NumberOf name={name} value={row.numbers[name]} />
        </td>
      ))}
      <td className="archive-when" data-label="Published">
        <Day day={row.publishedAt.slice(0, 10)} relative={false} />
      </td>
    </tr>
  );
}
