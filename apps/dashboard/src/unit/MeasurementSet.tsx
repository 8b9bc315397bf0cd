/** One set: its analysis, what is wrong with its data, and its files. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import type { SetView, UnitView } from '../contracts.js';
import { DeleteThis } from '../bin/DeleteThis.js';
import { Button, Instant, Refusal } from '../kit/index.js';
import { DropFiles } from '../upload/DropFiles.js';
import { count } from '../words/numbers.js';
import { AnalysisState } from './AnalysisState.js';
import { SetAsideDialog } from './SetAsideDialog.js';
import { SetFiles } from './SetFiles.js';
import { useRefreshUnit } from './useUnit.js';

export function MeasurementSet({ set, unit }: { set: SetView; unit: UnitView }) {
  const [aside, setAside] = useState(false);
  const refresh = useRefreshUnit(unit);
  const asking = useMutation({
    mutationFn: () => api.requestAnalysis(set.id),
    onSettled: refresh,
  });
  const newest = set.analyses[0];
  const outdated = set.files.length > 0 && !newest?.current;
  return (
    <article className="set stack">
      <div className="row apart">
        <div>
          <h3>{set.name}</h3>
          <p className="small soft">
            {count(set.files.length, 'file')}, begun <Instant at={set.createdAt} relativeOnly />
            {set.setAsideWhy !== null && <>; set aside: {set.setAsideWhy}</>}
          </p>
        </div>
        <span className="row">
          <Button look="quiet" onPress={() => setAside(true)}>
            {set.setAsideWhy === null ? 'Set aside' : 'Count it again'}
          </Button>
          <DeleteThis
            what="this set"
            name={set.name}
            goesWith="with its files and results. A set that was measured again can be set aside instead."
            send={() => api.deleteSet(set.id, set.version)}
            onDeleted={() => void refresh()}
          />
        </span>
      </div>
      {newest && <AnalysisState analysis={newest} />}
      {outdated && (
        <div className="row">
          <Button look="main" busy={asking.isPending} onPress={() => asking.mutate()}>
            {newest ? 'Analyse again with the changed files' : 'Analyse what is here'}
          </Button>
        </div>
      )}
      <Refusal error={asking.error} />
      {set.setAsideWhy === null && (
        <DropFiles
          setId={set.id}
          onDone={(problems) => {
            // With a file refused the person looks first; the button above stays.
            void refresh().then(() => {
              if (problems.length === 0) asking.mutate();
            });
          }}
        />
      )}
      <SetFiles set={set} onChanged={refresh} />
      {aside && <SetAsideDialog set={set} onClose={() => setAside(false)} onChanged={refresh} />}
    </article>
  );
}
