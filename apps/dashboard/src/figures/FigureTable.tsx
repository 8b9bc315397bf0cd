/** The table behind a figure: every number it draws, a page of rows at a time. */
import { useMemo, useState } from 'react';
import {
  figureTable,
  formatFrequency,
  formatNumber,
  type FigureDescription,
} from '../../../../libs/figures/index.js';

const ROWS_A_PAGE = 60;
/** A wide table scrolls in its own frame; without a place for the focus no key could scroll it. */
const scrolledByKeyboard = { tabIndex: 0 };

export function FigureTable({ description }: { description: FigureDescription }) {
  const table = useMemo(() => figureTable(description), [description]);
  const [shown, setShown] = useState(ROWS_A_PAGE);
  const rest = table.rows.length - shown;
  return (
    <div className="figure-table">
      <section
        className="scroll-x figure-table-frame"
        {...scrolledByKeyboard}
        aria-label={`${description.title}: table`}
      >
        <table className="num">
          <thead>
            <tr>
              {table.columns.map((column, index) => (
                <th key={column} scope="col">
                  {index === 0 ? 'Frequency' : column}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {table.rows.slice(0, shown).map((row) => (
              <tr key={row[0]}>
                {row.map((value, index) => (
                  // Columns are fixed; their place is their name.
                  // oxlint-disable-next-line react/no-array-index-key
                  <Cell key={index} value={value} head={index === 0} />
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {rest > 0 && (
        <button
          type="button"
          className="button button-quiet"
          onClick={() => setShown(shown + 4 * ROWS_A_PAGE)}
        >
          {`Show more rows (${rest} left)`}
        </button>
      )}
    </div>
  );
}

function Cell({ value, head }: { value: number | null; head: boolean }) {
  if (head) {
    return (
      <th scope="row" title={`${value} Hz`}>
        {formatFrequency(value ?? 0)}
      </th>
    );
  }
  return (
    <td title={value === null ? undefined : String(value)}>{value === null ? '' : formatNumber(value)}</td>
  );
}
