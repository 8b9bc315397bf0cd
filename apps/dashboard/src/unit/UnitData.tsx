/** What is measured, what is missing, and the files. */
import { useMutation, useQuery } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { queries } from '../api/queries.js';
import type { SetView, UnitView } from '../contracts.js';
import { Answer, Button, Cautions, Refusal, TextField } from '../kit/index.js';
import { DataPlan } from './DataPlan.js';
import { MeasurementSet } from './MeasurementSet.js';
import { OpenedData } from './OpenedData.js';
import { useRefreshUnit, useUnit } from './useUnit.js';

export function UnitData() {
  const { unit } = useUnit();
  return (
    <div className="unit-data">
      <div className="stack">
        <DataPlan unit={unit} />
        <Cautions cautions={unit.cautions} />
      </div>
      <OpenedData unit={unit}>
        <Sets unit={unit} />
      </OpenedData>
    </div>
  );
}

function Sets({ unit }: { unit: UnitView }) {
  const sets = useQuery(queries.sets(unit.id));
  return (
    <Answer query={sets} what="the measurement sets">
      {(found) => <SetList unit={unit} sets={found} />}
    </Answer>
  );
}

function SetList({ unit, sets }: { unit: UnitView; sets: readonly SetView[] }) {
  const [adding, setAdding] = useState(sets.length === 0);
  const counted = sets.filter((set) => set.setAsideWhy === null);
  const aside = sets.filter((set) => set.setAsideWhy !== null);
  return (
    <section className="stack" aria-labelledby="sets">
      <div className="row apart">
        <h2 id="sets">Measurement sets</h2>
        {!adding && (
          <Button look="quiet" icon="plus" onPress={() => setAdding(true)}>
            Begin a set
          </Button>
        )}
      </div>
      {adding && <BeginSet unit={unit} first={sets.length === 0} onDone={() => setAdding(false)} />}
      {counted.toReversed().map((set) => (
        <MeasurementSet key={set.id} set={set} unit={unit} />
      ))}
      {aside.length > 0 && (
        <details>
          <summary className="soft">{aside.length} set aside, kept but not counted</summary>
          {aside.map((set) => (
            <MeasurementSet key={set.id} set={set} unit={unit} />
          ))}
        </details>
      )}
    </section>
  );
}

function BeginSet(props: { unit: UnitView; first: boolean; onDone: () => void }) {
  const [name, setName] = useState(props.first ? 'First run' : '');
  const refresh = useRefreshUnit(props.unit);
  const adding = useMutation({
    mutationFn: () => api.addSet(props.unit.id, { name }),
    onSuccess: async () => {
      await refresh();
      props.onDone();
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    adding.mutate();
  };
  return (
    <form className="begin-set" onSubmit={submit}>
      <TextField
        label="Name of the set"
        hint="One sitting at the rig: what was measured under one set of conditions."
        required
        value={name}
        onChange={setName}
      />
      <Button type="submit" look="main" busy={adding.isPending}>
        Begin, then add files
      </Button>
      <Refusal error={adding.error} />
    </form>
  );
}
