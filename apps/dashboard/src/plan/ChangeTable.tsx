/** Bookings before and after, loan by loan. */
import { Link } from 'react-router';
import type { PlanChange, Spot } from '../contracts.js';
import { useNow } from '../kit/index.js';
import { dayInZone } from '../words/dates.js';
import { count } from '../words/numbers.js';
import { whenWords, whoWhereWords } from './bookingWords.js';

const changeWords: Readonly<Record<PlanChange['change'], string>> = {
  added: 'new',
  removed: 'dropped',
  moved: 'moved',
  reassigned: 'in other hands',
};

/** `2 new, 14 moved, on 6 loans`. */
export function changesInShort(changes: readonly PlanChange[]): string {
  const kinds = (Object.keys(changeWords) as PlanChange['change'][]).flatMap((kind) => {
    const number = changes.filter(({ change }) => change === kind).length;
    return number === 0 ? [] : [`${number} ${changeWords[kind]}`];
  });
  const loans = new Set(changes.map(({ loanId }) => loanId)).size;
  return `${kinds.join(', ')}, on ${count(loans, 'loan')}`;
}

export function ChangeTable(props: { changes: readonly PlanChange[]; zone: string }) {
  if (props.changes.length === 0) return null;
  return (
    <table className="list-table change-table">
      <thead>
        <tr>
          <th scope="col">Booking</th>
          <th scope="col">Change</th>
          <th scope="col">Before</th>
          <th scope="col">After</th>
        </tr>
      </thead>
      <tbody>
        {props.changes.map((one) => (
          <tr
            key={`${one.loanId} ${one.label} ${one.session} ${one.before?.start ?? ''} ${one.after?.start ?? ''}`}
          >
            <th scope="row">
              {one.label}
              <div className="small">
                <Link to={`/loans/${one.loanId}`}>{one.loanTitle}</Link>
              </div>
            </th>
            <td>
              <span className="tag">{changeWords[one.change]}</span>
            </td>
            <td>
              <SpotWords
                spot={one.before}
                other={one.after}
                zone={props.zone}
                said="Before: "
                none="not planned"
              />
            </td>
            <td>
              <SpotWords
                spot={one.after}
                other={one.before}
                zone={props.zone}
                said="After: "
                none="dropped"
              />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function SpotWords(props: {
  spot: Spot | null;
  other: Spot | null;
  zone: string;
  said: string;
  none: string;
}) {
  const { spot, other, zone } = props;
  const today = dayInZone(useNow(), zone);
  if (!spot) return <span className="soft">{props.none}</span>;
  const when = whenWords(spot, zone, today);
  const who = whoWhereWords(spot);
  const sameTime = other !== null && when === whenWords(other, zone, today);
  const sameWho = other !== null && who === whoWhereWords(other);
  return (
    <>
      <span className="change-said small soft">{props.said}</span>
      <span className={sameTime ? 'soft' : undefined}>{when}</span>
      <div className={`small${sameWho || other === null ? ' soft' : ''}`}>{who}</div>
    </>
  );
}
