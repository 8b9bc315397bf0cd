/** Photographs of the way home beside those of the arrival, unit by unit. */
import type { LoanView, Moment, ReportView } from '../contracts.js';

export function SideBySide({ loan }: { loan: LoanView }) {
  const places = [
    ...loan.unitDetails.map((unit) => ({ id: unit.id, name: unit.name })),
    { id: null, name: 'The crate as a whole' },
  ]
    .map((place) => ({
      ...place,
      arrival: picturesOf(loan, place.id, 'arrival'),
      home: picturesOf(loan, place.id, 'return'),
    }))
    .filter(({ arrival, home }) => arrival.length + home.length > 0);
  if (places.length === 0) return null;
  return (
    <section className="stack" aria-labelledby="side-by-side">
      <h2 id="side-by-side">As it came, and as it goes</h2>
      {places.map((place) => (
        <div key={place.id ?? 'crate'} className="stack">
          <h3>{place.name}</h3>
          <div className="side-by-side">
            <Column title="On arrival" pictures={place.arrival} none="No photograph was taken on arrival." />
            <Column
              title="Before the return"
              pictures={place.home}
              none="None yet: photograph the same sides again before packing."
            />
          </div>
        </div>
      ))}
    </section>
  );
}

type Picture = ReportView['photographs'][number];

const picturesOf = (loan: LoanView, unitId: string | null, moment: Moment): Picture[] =>
  loan.reports
    .filter((report) => report.moment === moment && report.unitId === unitId)
    .flatMap((report) => report.photographs);

function Column(props: { title: string; pictures: readonly Picture[]; none: string }) {
  return (
    <div className="stack">
      <h4>{props.title}</h4>
      {props.pictures.length === 0 && <p className="small soft">{props.none}</p>}
      {props.pictures.map((picture) => (
        <figure key={picture.id} className="side-picture">
          <a href={picture.url} target="_blank" rel="noreferrer">
            <img src={picture.url} alt={picture.caption || picture.name} loading="lazy" />
          </a>
          <figcaption className="small soft">{picture.caption || picture.name}</figcaption>
        </figure>
      ))}
    </div>
  );
}
