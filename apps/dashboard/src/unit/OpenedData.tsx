/**
 * The door before a unit's data. Whoever goes through has seen it, and a listening session they seal afterwards is
 * no longer blind, so nobody goes through by accident.
 */
import { useState, type ReactNode } from 'react';
import { Link } from 'react-router';
import type { UnitView } from '../contracts.js';
import { Button, Icon } from '../kit/index.js';

export function SealedWhileListening({ unit }: { unit: UnitView }) {
  return (
    <section className="blind stack">
      <h2>
        <Icon name="lock" /> Sealed until you seal your session
      </h2>
      <p>
        You are listening to {unit.name} blind. The server keeps its results from you everywhere: here, in the
        archive, in the verdict, in the news. Seal your session, and they open; you may also give up listening
        blind, which is recorded.
      </p>
      <div className="row">
        <Link className="button button-main" to={`/units/${unit.id}/listening`}>
          To your session
        </Link>
      </div>
    </section>
  );
}

export function OpenedData({ unit, children }: { unit: UnitView; children: ReactNode }) {
  const something = unit.plan.some((part) => part.state === 'complete' || part.state === 'faulty');
  // Whoever stands here when the first data comes sees it come: the door does not fall shut before their eyes.
  const [inside, setInside] = useState(unit.dataOpened || !something);
  if (unit.sealedForYou) return <SealedWhileListening unit={unit} />;
  if (unit.dataOpened || inside) return children;
  return (
    <section className="blind stack">
      <h2>
        <Icon name="ear" /> You have not seen this unit’s data
      </h2>
      <p>
        If you are going to listen to it, write your remarks and seal them first: only then do they count as
        blind. Once you open the data, that is recorded.
      </p>
      <div className="row">
        <Link className="button button-main" to={`/units/${unit.id}/listening`}>
          Listen first
        </Link>
        <Button onPress={() => setInside(true)}>Open the data</Button>
      </div>
    </section>
  );
}
