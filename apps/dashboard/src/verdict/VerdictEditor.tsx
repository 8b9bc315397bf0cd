/** Writing the verdict. When somebody else was quicker, both versions stand side by side. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { LoanView, VerdictView } from '../contracts.js';
import { isStale } from '../edit/useVersionedSave.js';
import { Button, IconButton, Notice, Refusal, TextArea, TextField } from '../kit/index.js';
import { useKeepLoan } from '../loans/useLoan.js';
import { asText } from './asText.js';
import '../styles/edit.css';

type Con = VerdictView['cons'][number];
/** A line of a list, with an identity of its own while it is edited. */
interface Line<T> {
  readonly key: number;
  readonly value: T;
}
let lastKey = 0;
const line = <T,>(value: T): Line<T> => ({ key: ++lastKey, value });

export function VerdictEditor({ loan, onLeave }: { loan: LoanView; onLeave: () => void }) {
  const keep = useKeepLoan();
  const [version, setVersion] = useState(loan.verdict.version);
  const [text, setText] = useState(loan.verdict.text);
  const [pros, setPros] = useState(() => loan.verdict.pros.map((pro) => line(pro)));
  const [cons, setCons] = useState(() => loan.verdict.cons.map((con) => line(con)));
  const [theirs, setTheirs] = useState<VerdictView | null>(null);
  const saving = useMutation({
    mutationFn: async () => {
      await api.changeVerdict(loan.id, {
        version,
        text,
        pros: pros.map((each) => each.value.trim()).filter((pro) => pro !== ''),
        cons: cons.map((each) => each.value).filter((con) => con.text.trim() !== ''),
      });
      return api.loan(loan.id);
    },
    onSuccess: (fresh) => {
      keep(fresh);
      onLeave();
    },
    onError: (error) => {
      if (isStale(error)) void api.loan(loan.id).then((fresh) => setTheirs(fresh.verdict));
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    saving.mutate();
  };
  return (
    <form className="stack verdict-form" onSubmit={submit}>
      {theirs && (
        <Notice tone="caution" alert title="Somebody saved a newer verdict while you were writing.">
          <p>
            Nothing is lost. This is theirs; take over from it what should stand in yours below, then save.
          </p>
          <pre className="verdict-theirs">{asText(theirs)}</pre>
          <div className="row">
            <Button
              onPress={() => {
                setVersion(theirs.version);
                setTheirs(null);
              }}
            >
              I have taken over what should stand
            </Button>
            <Button
              onPress={() => {
                setVersion(theirs.version);
                setText(theirs.text);
                setPros(theirs.pros.map((pro) => line(pro)));
                setCons(theirs.cons.map((con) => line(con)));
                setTheirs(null);
              }}
            >
              Take theirs instead of mine
            </Button>
          </div>
        </Notice>
      )}
      <ProsEditor pros={pros} onChange={setPros} />
      <ConsEditor cons={cons} onChange={setCons} />
      <TextArea label="Verdict" rows={10} value={text} onChange={setText} />
      {!isStale(saving.error) && <Refusal error={saving.error} />}
      <div className="row form-acts">
        <Button type="submit" look="main" busy={saving.isPending} isDisabled={theirs !== null}>
          Save
        </Button>
        <Button onPress={onLeave}>Leave as it was</Button>
        {loan.verdict.signOffs.some((signOff) => signOff.stands) && (
          <span className="small soft">Saving voids the sign-offs given so far.</span>
        )}
      </div>
    </form>
  );
}

function ProsEditor({ pros, onChange }: { pros: Line<string>[]; onChange: (pros: Line<string>[]) => void }) {
  return (
    <fieldset className="stack">
      <legend className="verdict-legend">For it</legend>
      {pros.map((pro, index) => (
        <div key={pro.key} className="point-edit">
          <TextField
            label={`Pro ${index + 1}`}
            value={pro.value}
            onChange={(value) =>
              onChange(pros.map((each) => (each.key === pro.key ? { ...each, value } : each)))
            }
          />
          <IconButton
            icon="cross"
            label={`Remove pro ${index + 1}`}
            onPress={() => onChange(pros.filter((each) => each.key !== pro.key))}
          />
        </div>
      ))}
      <div>
        <Button icon="plus" onPress={() => onChange([...pros, line('')])}>
          Add a pro
        </Button>
      </div>
    </fieldset>
  );
}

function ConsEditor({ cons, onChange }: { cons: Line<Con>[]; onChange: (cons: Line<Con>[]) => void }) {
  const set = (key: number, part: Partial<Con>) =>
    onChange(cons.map((each) => (each.key === key ? { ...each, value: { ...each.value, ...part } } : each)));
  return (
    <fieldset className="stack">
      <legend className="verdict-legend">Against it</legend>
      {cons.map((con, index) => (
        <div key={con.key} className="point-edit">
          <div className="stack">
            <TextField
              label={`Con ${index + 1}`}
              value={con.value.text}
              onChange={(text) => set(con.key, { text })}
            />
            <TextField
              label="Evidence"
              hint="A finding, a figure, a sealed remark; or say that there is none."
              value={con.value.evidence}
              onChange={(evidence) => set(con.key, { evidence })}
            />
          </div>
          <IconButton
            icon="cross"
            label={`Remove con ${index + 1}`}
            onPress={() => onChange(cons.filter((each) => each.key !== con.key))}
          />
        </div>
      ))}
      <div>
        <Button icon="plus" onPress={() => onChange([...cons, line({ text: '', evidence: '' })])}>
          Add a con
        </Button>
      </div>
    </fieldset>
  );
}
