/** Results: the numbers at a glance and every figure. */
import { useQuery } from '@tanstack/react-query';
import { useSearchParams } from 'react-router';
import { queries } from '../api/queries.js';
import { NearestUnits } from '../archive/NearestUnits.js';
import type { AnalysisView, SetView, UnitView } from '../contracts.js';
import { Figure } from '../figures/Figure.js';
import { Answer, Notice, Quantity, SelectField, useNow } from '../kit/index.js';
import { clockWords, dayInZone } from '../words/dates.js';
import { AnalysisSource } from './AnalysisSource.js';
import { glances } from '../contracts.js';
import { OpenedData } from './OpenedData.js';
import { useUnit } from './useUnit.js';

export function UnitResults() {
  const { unit } = useUnit();
  return (
    <OpenedData unit={unit}>
      <Results unit={unit} />
    </OpenedData>
  );
}

function Results({ unit }: { unit: UnitView }) {
  const sets = useQuery(queries.sets(unit.id));
  return (
    <Answer query={sets} what="the results">
      {(found) => <ChosenResult sets={found} />}
    </Answer>
  );
}

function ChosenResult({ sets }: { sets: readonly SetView[] }) {
  const [search, setSearch] = useSearchParams();
  const now = useNow();
  const done = sets.flatMap((set) =>
    set.analyses.filter((analysis) => analysis.state === 'done').map((analysis) => ({ set, analysis })),
  );
  const best = done.toSorted((a, b) => rank(b) - rank(a))[0];
  const chosen = done.find(({ analysis }) => analysis.id === search.get('of')) ?? best;
  if (!chosen) {
    return (
      <p className="empty">No results yet. They appear here by themselves once a set has been analysed.</p>
    );
  }
  const name = ({ set, analysis }: (typeof done)[number]) =>
    `${set.name}, ${clockWords(analysis.finishedAt ?? analysis.createdAt, dayInZone(now))}${analysis.current ? '' : ' (older)'}`;
  return (
    <div className="stack results">
      {done.length > 1 && (
        <div className="narrow">
          <SelectField
            label="Results of"
            value={chosen.analysis.id}
            options={done.map((each) => ({ value: each.analysis.id, words: name(each) }))}
            onChange={(id) => setSearch({ of: id }, { replace: true })}
          />
        </div>
      )}
      {!chosen.analysis.current && (
        <Notice tone="caution" title="The set’s files have changed since.">
          <p>These results stand for the files as they were.</p>
        </Notice>
      )}
      <Result analysis={chosen.analysis} set={chosen.set} />
      {chosen === best && <NearestUnits unitId={chosen.set.unitId} />}
    </div>
  );
}

/** The newest current analysis of a set that counts, with the most figures, comes first. */
function rank({ set, analysis }: { set: SetView; analysis: AnalysisView }): number {
  const counts = (set.setAsideWhy === null ? 1e18 : 0) + (analysis.current ? 1e17 : 0);
  return counts + analysis.figures.length * 1e14 + Date.parse(analysis.createdAt);
}

function Result({ analysis, set }: { analysis: AnalysisView; set: SetView }) {
  const numbers = glances(analysis.summary);
  const figures = analysis.figures.filter((figure) => !figure.name.startsWith('evidence-'));
  return (
    <>
      {analysis.blocking > 0 && (
        <Notice tone="wrong" title={`${analysis.blocking} blocking on the data: read these with care.`}>
          <p>What is wrong and what to measure again stands under Data.</p>
        </Notice>
      )}
      {numbers.length > 0 && (
        <section aria-labelledby="glance">
          <h2 id="glance" className="hidden">
            Numbers at a glance
          </h2>
          <dl className="glance">
            {numbers.map((number) => (
              <div key={number.key}>
                <dt>{number.label}</dt>
                <dd>
                  <Quantity
                    value={number.value}
                    unit={number.unit}
                    signed={number.signed ?? false}
                    prefix={number.prefix ?? ''}
                  />
                  {number.hint && <span className="small soft glance-hint">{number.hint}</span>}
                </dd>
              </div>
            ))}
          </dl>
        </section>
      )}
      <h2 className="hidden">Figures</h2>
      {figures.length > 1 && (
        <nav aria-label="Figures" className="figure-index small">
          {figures.map((figure) => (
            <a key={figure.name} href={`#${figure.name}`}>
              {figure.title}
            </a>
          ))}
        </nav>
      )}
      {figures.map((figure) => (
        <Figure key={figure.descriptionUrl} links={figure} />
      ))}
      <AnalysisSource analysis={analysis} set={set} />
    </>
  );
}
