/** Taking up an invitation. Its token stands behind `#`, which browsers never send, so no log holds it. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { useLocation, useNavigate } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { roleWords } from '../contracts.js';
import { Answer, Button, Instant, Refusal, TextField } from '../kit/index.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';
import { Door } from './Door.js';

export function AcceptInvitation() {
  const token = useLocation().hash.slice(1);
  const offer = useQuery({
    queryKey: ['invitation'],
    queryFn: () => api.lookAtInvitation(token),
    enabled: token !== '',
    retry: false,
    gcTime: 0,
  });
  if (token === '') {
    return (
      <Door
        title="This link is incomplete"
        lead="An invitation link has a long code at its end. Copy the whole link, or ask for a new one."
      >
        {null}
      </Door>
    );
  }
  return (
    <Door title={offer.data ? `Join ${offer.data.teamName}` : 'Your invitation'}>
      <Answer
        query={offer}
        what="your invitation"
        gone="This invitation was used, withdrawn or has run out. Ask whoever sent it for a new one."
      >
        {(found) => (
          <>
            <p className="soft">
              You are invited as {roleWords[found.role].toLowerCase()}. The invitation is open until{' '}
              <Instant at={found.expiresAt} />.
            </p>
            <AcceptForm token={token} />
          </>
        )}
      </Answer>
    </Door>
  );
}

function AcceptForm({ token }: { token: string }) {
  const client = useQueryClient();
  const go = useNavigate();
  const [name, setName] = useState('');
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const accept = useMutation({
    mutationFn: () => api.acceptInvitation({ token, name, email, password }),
    onSuccess: (state) => {
      client.setQueryData(keys.session, state);
      // Replaced, so that the token does not stay in the browser's history.
      void go('/', { replace: true });
    },
  });
  const refusal = accept.error ? refusalOf(accept.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    accept.mutate();
  };
  return (
    <form className="form" onSubmit={submit}>
      <TextField
        wide
        label="Your name"
        autoComplete="name"
        focusFirst
        required
        value={name}
        error={fieldMessage(refusal, 'name')}
        onChange={setName}
      />
      <TextField
        wide
        label="Your e-mail"
        type="email"
        autoComplete="username"
        required
        value={email}
        error={fieldMessage(refusal, 'email')}
        onChange={setEmail}
      />
      <TextField
        wide
        label="A password"
        type="password"
        autoComplete="new-password"
        hint="At least 12 characters; a few unrelated words work well."
        required
        value={password}
        error={fieldMessage(refusal, 'password')}
        onChange={setPassword}
      />
      <div className="form-foot">
        <Button type="submit" look="main" busy={accept.isPending}>
          Join
        </Button>
      </div>
      <div className="field-wide">
        <Refusal marked error={accept.error} />
      </div>
    </form>
  );
}
