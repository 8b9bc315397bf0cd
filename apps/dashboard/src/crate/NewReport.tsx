/** Writes down in what condition something came or goes. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { LoanView, Moment } from '../contracts.js';
import { Button, Refusal, SelectField, TextArea, TextField } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';

const WHOLE_CRATE = '';

export function NewReport(props: { loan: LoanView; moment: Moment; onDone: () => void }) {
  const { loan, moment } = props;
  const refresh = useRefreshLoan(loan.id);
  const [unitId, setUnitId] = useState(loan.unitDetails[0]?.id ?? WHOLE_CRATE);
  const [condition, setCondition] = useState('');
  const [serialSeen, setSerialSeen] = useState('');
  const [damage, setDamage] = useState('');
  const unit = loan.unitDetails.find((each) => each.id === unitId);
  const adding = useMutation({
    mutationFn: () =>
      api.addReport(loan.id, { moment, unitId: unitId || null, condition, serialSeen, damage }),
    onSuccess: async () => {
      await refresh();
      props.onDone();
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    adding.mutate();
  };
  const otherSerial =
    unit && unit.serial !== '' && serialSeen.trim() !== '' && serialSeen.trim() !== unit.serial;
  return (
    <form className="form report" onSubmit={submit}>
      <SelectField
        label="About"
        value={unitId}
        options={[
          ...loan.unitDetails.map((each) => ({ value: each.id, words: each.name })),
          { value: WHOLE_CRATE, words: 'The crate as a whole' },
        ]}
        onChange={setUnitId}
      />
      {unit && (
        <TextField
          label="Serial number seen"
          value={serialSeen}
          onChange={setSerialSeen}
          error={
            otherSerial
              ? `The papers say ${unit.serial}. Check the label; is it the other cabinet?`
              : undefined
          }
        />
      )}
      <TextArea
        wide
        label="Condition"
        required
        rows={2}
        value={condition}
        onChange={setCondition}
        hint="Cabinet, drivers, terminals; how it was packed."
      />
      <TextArea
        wide
        label="Damage or things missing"
        rows={2}
        value={damage}
        onChange={setDamage}
        hint="Left empty when there is none. Otherwise the maker is told the same day."
      />
      <div className="form-foot">
        <Button type="submit" look="main" busy={adding.isPending}>
          Keep the report
        </Button>
        <Button onPress={props.onDone}>Leave</Button>
      </div>
      <div className="field-wide">
        <Refusal error={adding.error} />
      </div>
    </form>
  );
}
