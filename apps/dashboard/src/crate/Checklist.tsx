/** Accessories and packaging, counted on arrival and again on return. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { AccessoryView, LoanView, Moment } from '../contracts.js';
import { Button, CheckField, Refusal, TextField } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';
import { parseNumber } from '../words/numbers.js';
import { AccessoryLine } from './AccessoryLine.js';
import { tally } from './tally.js';

export function Checklist({ loan, moment }: { loan: LoanView; moment: Moment }) {
  const parts: readonly { title: string; items: readonly AccessoryView[] }[] = [
    { title: 'Accessories', items: loan.accessories.filter((item) => !item.packaging) },
    { title: 'Packaging, all of it kept', items: loan.accessories.filter((item) => item.packaging) },
  ];
  const sum = tally(loan.accessories, moment);
  return (
    <section className="stack" aria-labelledby="checklist">
      <div className="row apart">
        <h2 id="checklist">{moment === 'arrival' ? 'What came' : 'What goes back'}</h2>
        <output className="small">
          {sum.counted} of {sum.all} counted
        </output>
      </div>
      {sum.short.length > 0 && (
        <p className="crate-short">
          {moment === 'arrival' ? 'Not all of it came: ' : 'Still to be packed: '}
          {sum.short.join(', ')}.{moment === 'arrival' && ' Tell the maker the same day.'}
        </p>
      )}
      {parts.map(
        (part) =>
          part.items.length > 0 && (
            <div key={part.title}>
              <h3>{part.title}</h3>
              <ul className="lines">
                {part.items.map((item) => (
                  <AccessoryLine key={`${item.id} ${moment}`} item={item} moment={moment} loanId={loan.id} />
                ))}
              </ul>
            </div>
          ),
      )}
      {loan.accessories.length === 0 && (
        <p className="soft">
          Nothing listed yet. List grilles, feet, plugs, cables, and every part of the packaging.
        </p>
      )}
      {moment === 'arrival' && <AddAccessory loanId={loan.id} />}
    </section>
  );
}

function AddAccessory({ loanId }: { loanId: string }) {
  const refresh = useRefreshLoan(loanId);
  const [name, setName] = useState('');
  const [amount, setAmount] = useState('1');
  const [packaging, setPackaging] = useState(false);
  const adding = useMutation({
    mutationFn: () => api.addAccessory(loanId, { name, expectedCount: parseNumber(amount) ?? 1, packaging }),
    onSuccess: async () => {
      setName('');
      setAmount('1');
      await refresh();
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    adding.mutate();
  };
  return (
    <form className="crate-add" onSubmit={submit}>
      <TextField
        label="Add to the list"
        required
        value={name}
        onChange={setName}
        placeholder="Grille, spike, cable"
      />
      <TextField label="How many" inputMode="numeric" value={amount} onChange={setAmount} />
      <div className="crate-add-foot">
        <CheckField label="It is packaging" checked={packaging} onChange={setPackaging} />
        <Button type="submit" icon="plus" busy={adding.isPending}>
          Add
        </Button>
      </div>
      <Refusal error={adding.error} />
    </form>
  );
}
