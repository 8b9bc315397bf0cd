/** A loan that is only thought of, planned beside those there are. Nothing of it is kept. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { useHere } from '../app/session.js';
import { unitKindWords, type UnitKind } from '../contracts.js';
import { Button, CheckField, IconButton, Refusal, SelectField, TextField, useNow } from '../kit/index.js';
import { kindOptions } from '../loans/LoanUnits.js';
import { dayInZone } from '../words/dates.js';
import { addDays, fromHouseField } from '../words/houseClock.js';
import { parseNumber } from '../words/numbers.js';
import { WhatIfOutcome } from './WhatIfOutcome.js';

interface Draft {
  readonly units: readonly { readonly kind: UnitKind; readonly key: number }[];
  readonly arrival: string;
  readonly loanDays: string;
  readonly returnBy: string;
  readonly embargo: string;
  readonly freightDays: string;
  readonly keep: boolean;
}
const empty: Draft = {
  units: [{ kind: 'standmount', key: 0 }],
  arrival: '',
  loanDays: '',
  returnBy: '',
  embargo: '',
  freightDays: '3',
  keep: false,
};

export function WhatIfPage() {
  const zone = useHere().session.timeZone ?? 'UTC';
  const today = dayInZone(useNow(), zone);
  const [draft, setDraft] = useState(empty);
  const asking = useMutation({ mutationFn: () => api.whatIf(asked(draft, zone, today)) });
  const set = (part: Partial<Draft>) => {
    setDraft((was) => ({ ...was, ...part }));
    // An answer to another question would mislead.
    asking.reset();
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    asking.mutate();
  };
  return (
    <div className="stack">
      <h2>When could it be reviewed and returned?</h2>
      <p className="soft">
        A loan that is only thought of, planned beside those there are. Nothing of it is kept.
      </p>
      <form className="form narrow" onSubmit={submit}>
        <WhatIfFields draft={draft} set={set} />
        <div className="form-foot">
          <Button
            type="submit"
            look="main"
            busy={asking.isPending}
            isDisabled={Boolean(
              badWhole(draft.freightDays, MOST_FREIGHT) ?? badWhole(draft.loanDays, MOST_LOAN),
            )}
          >
            Work it out
          </Button>
        </div>
        <div className="field-wide">
          <Refusal error={asking.error} />
        </div>
      </form>
      {asking.data && <WhatIfOutcome view={asking.data} zone={zone} />}
    </div>
  );
}

function WhatIfFields({ draft, set }: { draft: Draft; set: (part: Partial<Draft>) => void }) {
  return (
    <>
      <Units draft={draft} set={set} />
      <TextField
        label="Arrives on"
        type="date"
        hint="Left empty: as if it were sent today."
        value={draft.arrival}
        onChange={(arrival) => set({ arrival })}
      />
      <TextField
        label="Freight each way"
        unit="working days"
        inputMode="numeric"
        value={draft.freightDays}
        error={badWhole(draft.freightDays, MOST_FREIGHT)}
        onChange={(freightDays) => set({ freightDays })}
      />
      <TextField
        label="Loan length"
        unit="days"
        inputMode="numeric"
        hint="Counted from the arrival."
        value={draft.loanDays}
        error={badWhole(draft.loanDays, MOST_LOAN)}
        onChange={(loanDays) => set({ loanDays, returnBy: '' })}
      />
      <TextField
        label="Or back with the maker by"
        type="date"
        value={draft.returnBy}
        onChange={(returnBy) => set({ returnBy, loanDays: '' })}
      />
      <TextField
        label="Embargo until"
        type="datetime-local"
        hint="On the clock of the house. Nothing is published before."
        value={draft.embargo}
        onChange={(embargo) => set({ embargo })}
      />
      <div className="field-wide">
        <CheckField
          label="The maker wants it kept until the review is out"
          checked={draft.keep}
          onChange={(keep) => set({ keep })}
        />
      </div>
    </>
  );
}

function Units({ draft, set }: { draft: Draft; set: (part: Partial<Draft>) => void }) {
  const next = Math.max(0, ...draft.units.map(({ key }) => key)) + 1;
  return (
    <div className="field-wide stack">
      {draft.units.map((unit, at) => (
        <div key={unit.key} className="what-if-unit">
          <SelectField
            label={draft.units.length === 1 ? 'Kind of unit' : `Kind of unit ${at + 1}`}
            value={unit.kind}
            options={kindOptions}
            onChange={(kind) =>
              set({ units: draft.units.map((one) => (one.key === unit.key ? { ...one, kind } : one)) })
            }
          />
          {draft.units.length > 1 && (
            <IconButton
              icon="cross"
              label={`Leave out unit ${at + 1}, ${unitKindWords[unit.kind].toLowerCase()}`}
              onPress={() => set({ units: draft.units.filter((one) => one.key !== unit.key) })}
            />
          )}
        </div>
      ))}
      {draft.units.length < 12 && (
        <div>
          <Button
            look="quiet"
            icon="plus"
            onPress={() => set({ units: [...draft.units, { kind: 'standmount', key: next }] })}
          >
            Another unit
          </Button>
        </div>
      )}
    </div>
  );
}

const MOST_FREIGHT = 90;
const MOST_LOAN = 730;

function badWhole(text: string, most: number): string | undefined {
  const number = parseNumber(text);
  if (number === null) return undefined;
  return Number.isInteger(number) && number >= 0 && number <= most
    ? undefined
    : `A whole number from 0 to ${most}.`;
}

function asked(draft: Draft, zone: string, today: string) {
  const freightDays = parseNumber(draft.freightDays) ?? 3;
  const length = parseNumber(draft.loanDays);
  // Sent today: weekends at their share, as the server counts.
  const first = draft.arrival === '' ? addDays(today, Math.ceil(((freightDays + 1) * 7) / 5)) : draft.arrival;
  return {
    units: draft.units.map(({ kind }, at) => ({ kind, name: `Unit ${at + 1}` })),
    arrival: draft.arrival === '' ? null : fromHouseField(`${draft.arrival}T12:00`, zone),
    returnBy: draft.returnBy !== '' ? draft.returnBy : length === null ? null : addDays(first, length),
    embargoUntil: fromHouseField(draft.embargo, zone),
    freightDays,
    keepUntilPublished: draft.keep,
  };
}
