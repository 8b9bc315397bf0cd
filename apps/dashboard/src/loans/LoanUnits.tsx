/** The loudspeakers of a loan, each with how far its data is. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { Link, useNavigate } from 'react-router';
import { api } from '../api/api.js';
import { unitKinds, unitKindWords, type LoanView, type UnitKind, type UnitView } from '../contracts.js';
import { Button, Dialog, Icon, Refusal, SelectField, TextField } from '../kit/index.js';
import { inSentence } from '../words/numbers.js';
import { useRefreshLoan } from './useLoan.js';

export const kindOptions = unitKinds.map((kind) => ({ value: kind, words: unitKindWords[kind] }));

export function LoanUnits({ loan }: { loan: LoanView }) {
  const [adding, setAdding] = useState(false);
  return (
    <section className="section stack" aria-labelledby="units">
      <div className="row apart">
        <h2 id="units">{loan.unitDetails.length === 1 ? 'Unit' : 'Units'}</h2>
        <Button look="quiet" icon="plus" onPress={() => setAdding(true)}>
          Add a unit
        </Button>
      </div>
      {loan.unitDetails.length === 0 && (
        <p className="soft">
          No unit yet: add each loudspeaker of this loan; its kind decides what is measured.
        </p>
      )}
      <ul className="lines">
        {loan.unitDetails.map((unit) => (
          <UnitLine
            key={unit.id}
            unit={unit}
            blocking={loan.units.find((each) => each.id === unit.id)?.blocking ?? 0}
          />
        ))}
      </ul>
      <AddUnitDialog loan={loan} open={adding} onClose={() => setAdding(false)} />
    </section>
  );
}

function UnitLine({ unit, blocking }: { unit: UnitView; blocking: number }) {
  const asked = unit.plan.filter((part) => part.state !== 'waived');
  const done = asked.filter((part) => part.state === 'complete');
  const open = asked.filter((part) => part.state !== 'complete');
  return (
    <li>
      <Link className="unit-line" to={`/units/${unit.id}`}>
        <span>
          <strong>{unit.name}</strong> <span className="soft">{unitKindWords[unit.kind].toLowerCase()}</span>
        </span>
        <span className="small">
          {unit.sealedForYou ? (
            <>
              <Icon name="lock" size={13} /> sealed while you listen
            </>
          ) : (
            `${done.length} of ${asked.length} data sets`
          )}
        </span>
        <span className="small soft unit-line-rest">
          {blocking > 0 && (
            <span className="tag tag-late">
              <Icon name="blocked" size={13} /> {blocking} blocking
            </span>
          )}{' '}
          {unit.sealedForYou
            ? ''
            : open.length > 0
              ? `Open: ${open.map((part) => inSentence(part.title)).join(', ')}`
              : 'Every data set is in.'}
        </span>
      </Link>
    </li>
  );
}

function AddUnitDialog(props: { loan: LoanView; open: boolean; onClose: () => void }) {
  const [name, setName] = useState('');
  const [kind, setKind] = useState<UnitKind>('standmount');
  const go = useNavigate();
  const refresh = useRefreshLoan(props.loan.id);
  const adding = useMutation({
    mutationFn: () => api.addUnit(props.loan.id, { name, kind }),
    onSuccess: async (unit) => {
      await refresh();
      props.onClose();
      void go(`/units/${unit.id}/about`);
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    adding.mutate();
  };
  return (
    <Dialog title="Add a unit" open={props.open} onClose={props.onClose}>
      <form className="form" onSubmit={submit}>
        <TextField wide label="Model name" required focusFirst value={name} onChange={setName} />
        <SelectField
          wide
          label="Kind"
          hint="It decides which measurements the plan asks for."
          value={kind}
          options={kindOptions}
          onChange={setKind}
        />
        <div className="form-foot">
          <Button type="submit" look="main" busy={adding.isPending}>
            Add
          </Button>
        </div>
        <div className="field-wide">
          <Refusal error={adding.error} />
        </div>
      </form>
    </Dialog>
  );
}
