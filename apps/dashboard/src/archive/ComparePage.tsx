/** Two to eight units laid over each other. */
import { useQueries, useQuery, useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { UnitView } from '../contracts.js';
import { Figure } from '../figures/Figure.js';
import { Answer, Button, Icon, Notice, PageHead, Refusal } from '../kit/index.js';
import { listWords } from '../words/numbers.js';
import { archiveQueries } from './archiveQueries.js';
import { compareLinks, readCompare, type CompareAsk } from './compareAddress.js';
import { CompareLooks } from './CompareLooks.js';
import '../styles/archive.css';
import '../styles/unit.css';

export function ComparePage() {
  const [address] = useSearchParams();
  const ask = readCompare(address);
  return (
    <>
      <PageHead
        title="Laid over each other"
        above={{ to: `/archive?chosen=${ask.units.join(',')}`, words: 'Archive' }}
      />
      {ask.units.length < 2 ? (
        <p className="empty">
          Two units at least are needed. Tick them in the <Link to="/archive">archive</Link>.
        </p>
      ) : (
        <Compared key={ask.units.join()} ask={ask} />
      )}
    </>
  );
}

function Compared({ ask }: { ask: CompareAsk }) {
  const units = useQueries({ queries: ask.units.map((id) => queries.unit(id)) });
  const [agreed, setAgreed] = useState(false);
  const failed = units.find((unit) => unit.isError);
  if (failed) {
    return (
      <div className="stack">
        <Refusal error={failed.error} />
        <p>
          <Link to="/archive">Choose other units</Link>
        </p>
      </div>
    );
  }
  const known = units.flatMap((unit) => (unit.data ? [unit.data] : []));
  if (known.length < units.length) return <output className="loading">Fetching the units…</output>;
  const unopened = known.filter((unit) => !unit.dataOpened);
  if (unopened.length > 0 && !agreed) return <Before units={unopened} onOpen={() => setAgreed(true)} />;
  return <Comparison ask={ask} units={known} />;
}

/** The door before data the reader has not seen: nobody goes through by following a link. */
function Before({ units, onOpen }: { units: readonly UnitView[]; onOpen: () => void }) {
  const names = listWords(units.map((unit) => unit.name));
  return (
    <section className="blind stack">
      <h2>
        <Icon name="ear" /> You have not seen the data of {names}
      </h2>
      <p>
        If you are going to listen to {units.length === 1 ? 'it' : 'them'}, write your remarks and seal them
        first: only then do they count as blind. Once you open the data, that is recorded.
      </p>
      <div className="row">
        {units.map((unit) => (
          <Link key={unit.id} className="button button-main" to={`/units/${unit.id}/listening`}>
            Listen to {unit.name} first
          </Link>
        ))}
        <Button onPress={onOpen}>Open the data and compare</Button>
      </div>
    </section>
  );
}

function Comparison({ ask, units }: { ask: CompareAsk; units: readonly UnitView[] }) {
  const [, setAddress] = useSearchParams();
  const comparison = useQuery(archiveQueries.comparison(ask));
  useOpenedNow(units, comparison.isSuccess);
  const change = (look: Partial<CompareAsk>) =>
    setAddress(new URL(compareLinks({ ...ask, ...look }).descriptionUrl, window.location.href).searchParams, {
      replace: true,
      preventScrollReset: true,
    });
  return (
    <div className="stack">
      <p>
        {units.map((unit, index) => (
          <span key={unit.id}>
            {index > 0 && ' · '}
            <Link to={`/units/${unit.id}/results`}>{unit.name}</Link>
          </span>
        ))}
      </p>
      <CompareLooks ask={ask} onChange={change} />
      {units.some((unit) => unit.plan.some((part) => part.state === 'faulty')) && (
        <Notice tone="caution" title="Some of these units have faulty data: read the curves with care." />
      )}
      <h2 className="hidden">The figure</h2>
      <Answer query={comparison} what="the comparison">
        {(description) => (
          <Figure
            key={description.name}
            level={3}
            links={{ name: description.name, title: description.title, ...compareLinks(ask) }}
          />
        )}
      </Answer>
      <p className="small soft">
        Each curve is one unit on one day. Room, method and the spread between units limit what small
        differences can say.
      </p>
    </div>
  );
}

/** The server has noted the openings with the answer: what is kept of the units must say so too. */
function useOpenedNow(units: readonly UnitView[], seen: boolean): void {
  const client = useQueryClient();
  const stale = units.filter((unit) => !unit.dataOpened).map((unit) => unit.id);
  const named = stale.join();
  useEffect(() => {
    if (!seen || named === '') return;
    for (const id of named.split(',')) void client.invalidateQueries({ queryKey: keys.unit(id) });
    void client.invalidateQueries({ queryKey: ['archive'] });
  }, [client, seen, named]);
}
