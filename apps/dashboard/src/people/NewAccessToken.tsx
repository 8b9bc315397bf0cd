/** Making an access token: what it is for, what it may do, how long; then the token itself, once. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { scopes, scopeWords, TOKEN_USUAL_DAYS, type Scope } from '../contracts.js';
import { Button, CheckField, CopyText, Notice, Refusal, TextField } from '../kit/index.js';
import { parseNumber } from '../words/numbers.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';

export function NewAccessToken() {
  const client = useQueryClient();
  const [open, setOpen] = useState(false);
  const [name, setName] = useState('');
  const [chosen, setChosen] = useState<readonly Scope[]>(['measure']);
  const [days, setDays] = useState(String(TOKEN_USUAL_DAYS));
  const making = useMutation({
    mutationFn: () => api.addToken({ name, scopes: [...chosen], daysValid: parseNumber(days) ?? 0 }),
    onSuccess: () => {
      setOpen(false);
      setName('');
    },
    onSettled: () => client.invalidateQueries({ queryKey: keys.tokens }),
  });
  const refusal = making.error ? refusalOf(making.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    making.mutate();
  };
  const choose = (scope: Scope, on: boolean) =>
    setChosen((were) => scopes.filter((one) => (one === scope ? on : were.includes(one))));
  return (
    <>
      {making.data?.token !== undefined && (
        <Notice icon="lock" title="The token, shown only now" alert>
          <CopyText
            label={making.data.name}
            hint="Put it where the program finds it, such as SOJOURN_TOKEN on the computer at the rig. Never into a mail or a chat."
            value={making.data.token}
          />
        </Notice>
      )}
      {!open && (
        <div className="row">
          <Button
            onPress={() => {
              making.reset();
              setOpen(true);
            }}
          >
            Make a token
          </Button>
        </div>
      )}
      {open && (
        <form className="form narrow" onSubmit={submit}>
          <TextField
            label="What it is for"
            placeholder="The computer at the rig"
            required
            focusFirst
            value={name}
            error={fieldMessage(refusal, 'name')}
            onChange={setName}
          />
          <TextField
            label="Works for"
            inputMode="numeric"
            unit="days"
            hint="A year at most."
            value={days}
            error={fieldMessage(refusal, 'daysValid')}
            onChange={setDays}
          />
          <fieldset className="token-scopes field-wide">
            <legend>What it may do</legend>
            {scopes.map((scope) => (
              <CheckField
                key={scope}
                label={scopeWords[scope].name}
                hint={scopeWords[scope].opens}
                checked={chosen.includes(scope)}
                onChange={(on) => choose(scope, on)}
              />
            ))}
          </fieldset>
          <p className="small soft field-wide">
            Signing, publishing, people, passwords, backups and tokens themselves always take you.
          </p>
          <div className="form-foot">
            <Button type="submit" look="main" busy={making.isPending}>
              Make it
            </Button>
            <Button onPress={() => setOpen(false)}>Leave it</Button>
          </div>
          <div className="field-wide">
            <Refusal marked error={making.error} />
          </div>
        </form>
      )}
    </>
  );
}
