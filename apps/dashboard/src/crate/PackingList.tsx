/** The packing list, made to be printed on A4 and to lie on top in the crate. */
import { useQuery } from '@tanstack/react-query';
import { useParams } from 'react-router';
import { queries } from '../api/queries.js';
import type { AccessoryView, LoanView } from '../contracts.js';
import { Answer, Button, Cautions, Day, InventedMark, PageHead } from '../kit/index.js';
import '../styles/packing.css';

export function PackingList() {
  const { loanId = '' } = useParams();
  const loan = useQuery(queries.loan(loanId));
  return (
    <Answer query={loan} what="the packing list">
      {(found) => <List loan={found} />}
    </Answer>
  );
}

function List({ loan }: { loan: LoanView }) {
  return (
    <article className="packing">
      <PageHead
        title={`Packing list: ${loan.title}`}
        above={{ to: `/loans/${loan.id}/crate`, words: 'Crate and condition' }}
        beneath={
          <>
            to {loan.makerName} {loan.invented && <InventedMark />}
          </>
        }
        acts={
          <Button look="main" onPress={() => window.print()}>
            Print
          </Button>
        }
      />
      <dl className="facts">
        <div>
          <dt>Back by</dt>
          <dd>
            <Day day={loan.returnBy} relative={false} />
          </dd>
        </div>
        <div>
          <dt>Carrier</dt>
          <dd>{loan.returnCarrier ?? 'not booked'}</dd>
        </div>
        <div>
          <dt>Tracking</dt>
          <dd className="num">{loan.returnTracking ?? 'not known'}</dd>
        </div>
      </dl>
      <Cautions cautions={heavyCautions(loan)} />
      <Table
        title="Units"
        rows={loan.unitDetails.map((unit) => ({
          id: unit.id,
          name: unit.name,
          note: [
            unit.serial && `serial ${unit.serial}`,
            unit.finish,
            unit.massKg === null ? '' : `${unit.massKg} kg`,
          ]
            .filter((part) => part !== '')
            .join(', '),
          came: '1',
          packed: '',
        }))}
      />
      <Table title="Accessories" rows={rowsOf(loan.accessories.filter((item) => !item.packaging))} />
      <Table title="Packaging" rows={rowsOf(loan.accessories.filter((item) => item.packaging))} />
      <p className="packing-sign">Packed by, on (date), signature:</p>
    </article>
  );
}

/** Whatever is known of lifting; an unknown mass is said too. */
export function heavyCautions(loan: LoanView): string[] {
  const known = loan.unitDetails.flatMap((unit) =>
    unit.cautions
      .filter((caution) => /lift with two/.test(caution))
      .map((caution) => `${unit.name}, ${caution}`),
  );
  const unknown = loan.unitDetails.filter((unit) => unit.massKg === null).map((unit) => unit.name);
  return [
    ...known,
    ...(unknown.length > 0
      ? [`${unknown.join(', ')}: the mass is not known. Weigh before lifting; two people lift above 23 kg.`]
      : []),
    'A unit in its carton weighs more than the unit alone. Lift close to the body, with the back straight.',
  ];
}

interface ListRow {
  readonly id: string;
  readonly name: string;
  readonly note: string;
  readonly came: string;
  readonly packed: string;
}

const rowsOf = (items: readonly AccessoryView[]): ListRow[] =>
  items.map((item) => ({
    id: item.id,
    name: item.name,
    note: [item.arrivalNote, item.returnNote, item.lossToldAt ? 'the maker was told' : '']
      .filter((part) => part !== '')
      .join('; '),
    came: String(item.arrivedCount ?? item.expectedCount),
    packed: item.returnedCount === null ? '' : String(item.returnedCount),
  }));

function Table({ title, rows }: { title: string; rows: readonly ListRow[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <table className="packing-table">
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Came</th>
            <th scope="col">Packed</th>
            <th scope="col">In the crate</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.id}>
              <th scope="row">
                {row.name}
                {row.note !== '' && <div className="small soft">{row.note}</div>}
              </th>
              <td className="num">{row.came}</td>
              <td className="num">{row.packed}</td>
              <td>
                <span className="packing-box" aria-hidden="true" />
                <span className="hidden">to be ticked by hand</span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
