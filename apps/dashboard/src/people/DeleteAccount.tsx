/** Deleting an account truly: what goes, what stays and until when backups hold it is said before the act. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { FORMER_MEMBER, REMOVAL_WORDS, type RemovalView } from '../contracts.js';
import { Answer, Button, Day, Dialog, Notice, Refusal, TextField } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { count, listWords } from '../words/numbers.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';

interface Whom {
  readonly id: string;
  readonly name: string;
  /** The reader's own account. */
  readonly own: boolean;
}

export function DeleteAccount({ id, name, own }: Whom) {
  const [asking, setAsking] = useState(false);
  return (
    <>
      <Button look="quiet" onPress={() => setAsking(true)}>
        {own ? 'Delete your account…' : 'Delete the account…'}
        {!own && <span className="hidden"> of {name}</span>}
      </Button>
      {asking && <RemovalDialog id={id} name={name} own={own} onClose={() => setAsking(false)} />}
    </>
  );
}

function RemovalDialog(props: Whom & { onClose: () => void }) {
  const view = useQuery(queries.removal(props.id));
  const title = props.own ? 'Delete your account?' : `Delete the account of ${props.name}?`;
  return (
    <Dialog title={title} open onClose={props.onClose} keepOnOutsidePress>
      <Answer query={view} what="what deleting means">
        {(found) =>
          found.refused === '' ? (
            <RemovalForm {...props} view={found} />
          ) : (
            <Notice tone="caution" title="Not this one">
              <p>{found.refused}</p>
            </Notice>
          )
        }
      </Answer>
    </Dialog>
  );
}

function Meaning({ view, own }: { view: RemovalView; own: boolean }) {
  const whose = own ? 'your' : 'their';
  return (
    <ul>
      <li>
        Sign-ins, tokens, private addresses, notifications, absences and exports are gone at once
        {view.unsealedSessions > 0 &&
          `, and ${count(view.unsealedSessions, 'listening session')} not yet sealed`}
        .
      </li>
      <li>
        Wherever {whose} name stood in the house, “{FORMER_MEMBER}” stands. What was made with the team stays
        with it.
      </li>
      <li>
        What was published stays as it was published
        {view.published.length > 0 && `: ${listWords(view.published)}`}.
      </li>
      <li>
        Backups made before hold it
        {view.backupsUntil ? (
          <>
            {' '}
            until <Day day={view.backupsUntil} relative={false} />
          </>
        ) : (
          ' until they are removed'
        )}
        {view.backupsKept > 0 &&
          `; ${count(view.backupsKept, 'backup')} made by hand until the owner removes them`}
        .
      </li>
      <li>It can’t be undone.</li>
    </ul>
  );
}

function RemovalForm(props: Whom & { view: RemovalView; onClose: () => void }) {
  const { id, name, own } = props;
  const client = useQueryClient();
  const [password, setPassword] = useState('');
  const [typed, setTyped] = useState('');
  const removing = useMutation({
    mutationFn: () => api.removeAccount(id, { password, confirm: typed.trim() as typeof REMOVAL_WORDS }),
    onSuccess: async () => {
      props.onClose();
      if (own) return client.resetQueries();
      say({ tone: 'good', title: 'Deleted', text: `The account of ${name} is gone.` });
      return client.invalidateQueries({ queryKey: keys.people });
    },
  });
  const refusal = removing.error ? refusalOf(removing.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    removing.mutate();
  };
  return (
    <form className="stack" onSubmit={submit}>
      <Meaning view={props.view} own={own} />
      <TextField
        label="Your password"
        type="password"
        autoComplete="current-password"
        required
        value={password}
        error={fieldMessage(refusal, 'password')}
        onChange={setPassword}
      />
      <TextField label={`Type “${REMOVAL_WORDS}”`} required value={typed} onChange={setTyped} />
      <Refusal marked error={removing.error} />
      <div className="form-foot">
        <Button
          type="submit"
          look="grave"
          busy={removing.isPending}
          isDisabled={typed.trim() !== REMOVAL_WORDS || password === ''}
        >
          Delete for good
        </Button>
        <Button onPress={props.onClose}>Keep it</Button>
      </div>
    </form>
  );
}
