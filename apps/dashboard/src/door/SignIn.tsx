/** Coming back in. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { roleWords, type SessionState } from '../contracts.js';
import { Button, Refusal, TextField } from '../kit/index.js';
import { Door } from './Door.js';

export function SignIn({ session }: { session: SessionState }) {
  const client = useQueryClient();
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const enter = useMutation({
    mutationFn: (ask: { email: string; password: string }) => api.signIn(ask),
    onSuccess: (state) => client.setQueryData(keys.session, state),
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    enter.mutate({ email, password });
  };
  return (
    <Door title={session.teamName ?? 'Sojourn'} lead="Sign in to see what needs you next.">
      <form className="form" onSubmit={submit}>
        <TextField
          wide
          label="E-mail"
          type="email"
          autoComplete="username"
          focusFirst
          required
          value={email}
          onChange={setEmail}
        />
        <TextField
          wide
          label="Password"
          type="password"
          autoComplete="current-password"
          required
          value={password}
          onChange={setPassword}
        />
        <div className="form-foot">
          <Button type="submit" look="main" busy={enter.isPending}>
            Sign in
          </Button>
        </div>
        <div className="field-wide">
          <Refusal error={enter.error} />
        </div>
      </form>
      {session.demoAccounts && session.demoAccounts.length > 0 && (
        <section className="door-demo">
          <h2>Look around as somebody invented</h2>
          <p className="small soft">
            This installation holds the invented demo: its makers, people and data are made up.
          </p>
          <ul>
            {session.demoAccounts.map((account) => (
              <li key={account.email} className="door-demo-line">
                <span>
                  {account.name} <span className="soft">{roleWords[account.role].toLowerCase()}</span>
                </span>
                <Button
                  isDisabled={enter.isPending}
                  aria-label={`Sign in as ${account.name}`}
                  onPress={() => enter.mutate({ email: account.email, password: account.password })}
                >
                  Sign in
                </Button>
              </li>
            ))}
          </ul>
        </section>
      )}
    </Door>
  );
}
