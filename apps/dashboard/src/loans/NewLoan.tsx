/** A new loan: who lends, what, and the first dates. The rest is filled in as it is agreed. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { useNavigate } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { MakerView, UnitKind } from '../contracts.js';
import { Answer, Button, PageHead, Refusal, SelectField, TextField } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';
import { kindOptions } from './LoanUnits.js';

const NEW_MAKER = 'new';

export function NewLoan() {
  const makers = useQuery(queries.makers());
  return (
    <>
      <PageHead title="Add a loan" above={{ to: '/loans', words: 'Loans' }} />
      <Answer query={makers} what="the makers">
        {(found) => <NewLoanForm makers={found} />}
      </Answer>
    </>
  );
}

interface NewLoanDraft {
  makerId: string;
  makerName: string;
  title: string;
  unitName: string;
  kind: UnitKind;
  arrivalFrom: string;
  arrivalTo: string;
  returnBy: string;
}

function NewLoanForm({ makers }: { makers: readonly MakerView[] }) {
  const [draft, setDraft] = useState<NewLoanDraft>({
    makerId: makers[0]?.id ?? NEW_MAKER,
    makerName: '',
    title: '',
    unitName: '',
    kind: 'standmount',
    arrivalFrom: '',
    arrivalTo: '',
    returnBy: '',
  });
  const set = (part: Partial<NewLoanDraft>) => setDraft((was) => ({ ...was, ...part }));
  const adding = useAddLoan();
  const refusal = adding.error ? refusalOf(adding.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    adding.mutate(draft);
  };
  return (
    <form className="form narrow" onSubmit={submit}>
      <SelectField
        label="Maker"
        value={draft.makerId}
        options={[
          ...makers.map((maker) => ({ value: maker.id, words: maker.name })),
          { value: NEW_MAKER, words: 'A maker not listed yet' },
        ]}
        onChange={(makerId) => set({ makerId })}
      />
      {draft.makerId === NEW_MAKER && (
        <TextField
          label="The maker’s name"
          required
          value={draft.makerName}
          onChange={(makerName) => set({ makerName })}
        />
      )}
      <TextField
        label="Model name"
        required
        value={draft.unitName}
        hint="A pair, a centre, a subwoofer: more units can follow."
        onChange={(unitName) => set({ unitName })}
      />
      <SelectField label="Kind" value={draft.kind} options={kindOptions} onChange={(kind) => set({ kind })} />
      <TextField
        wide
        label="Working title of the loan"
        hint="Left empty, the model name stands for it."
        value={draft.title}
        error={fieldMessage(refusal, 'title')}
        onChange={(title) => set({ title })}
      />
      <TextField
        label="May arrive from"
        type="date"
        value={draft.arrivalFrom}
        error={fieldMessage(refusal, 'arrivalFrom')}
        onChange={(arrivalFrom) => set({ arrivalFrom })}
      />
      <TextField
        label="Should arrive by"
        type="date"
        value={draft.arrivalTo}
        error={fieldMessage(refusal, 'arrivalTo')}
        onChange={(arrivalTo) => set({ arrivalTo })}
      />
      <TextField
        label="Back with the maker by"
        type="date"
        value={draft.returnBy}
        error={fieldMessage(refusal, 'returnBy')}
        onChange={(returnBy) => set({ returnBy })}
      />
      <div className="form-foot">
        <Button type="submit" look="main" busy={adding.isPending}>
          Add the loan
        </Button>
      </div>
      <div className="field-wide">
        <Refusal error={adding.error} />
      </div>
    </form>
  );
}

/** A maker, a loan and a unit, one after the other; what was made stays when a later one is refused. */
function useAddLoan() {
  const client = useQueryClient();
  const go = useNavigate();
  return useMutation({
    mutationFn: async (draft: NewLoanDraft) => {
      const makerId =
        draft.makerId === NEW_MAKER ? (await api.addMaker({ name: draft.makerName })).id : draft.makerId;
      const loan = await api.addLoan({
        makerId,
        title: draft.title.trim() === '' ? draft.unitName : draft.title,
        arrivalFrom: draft.arrivalFrom || null,
        arrivalTo: draft.arrivalTo || null,
        returnBy: draft.returnBy || null,
      });
      const refused = await api.addUnit(loan.id, { name: draft.unitName, kind: draft.kind }).then(
        () => null,
        (error: unknown) => refusalOf(error),
      );
      return { loan, refused };
    },
    onSuccess: ({ loan, refused }) => {
      for (const key of [keys.loans, keys.dashboard, keys.makers])
        void client.invalidateQueries({ queryKey: key });
      if (refused)
        say({ tone: 'risk', title: 'The loan is kept, its unit is not yet', text: refused.message });
      void go(`/loans/${loan.id}`);
    },
  });
}
