/** The reader's own account. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { isMember, useHere } from '../app/session.js';
import { roleWords } from '../contracts.js';
import { timeZones } from '../door/timeZones.js';
import { Button, PageHead, Refusal, TextField } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { AccessTokens } from './AccessTokens.js';
import { CalendarAddress } from './CalendarAddress.js';
import { DeleteAccount } from './DeleteAccount.js';
import { Exports } from './Exports.js';
import { OwnSessions } from './OwnSessions.js';
import { NotificationChoices } from './NotificationChoices.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';

export function YouPage() {
  const { person } = useHere();
  return (
    <>
      <PageHead title={person.name} beneath={`${roleWords[person.role]}, ${person.email}`} />
      <OwnDetails key={person.version} />
      {isMember(person) && <CalendarAddress />}
      {isMember(person) && <NotificationChoices />}
      <AccessTokens />
      <NewPassword />
      <OwnSessions />
      <Exports />
      <section className="section stack" aria-labelledby="leaving">
        <h2 id="leaving">Leaving</h2>
        <div>
          <DeleteAccount id={person.id} name={person.name} own />
        </div>
      </section>
    </>
  );
}

function OwnDetails() {
  const { person } = useHere();
  const client = useQueryClient();
  const [name, setName] = useState(person.name);
  const [timeZone, setTimeZone] = useState(person.timeZone);
  const saving = useMutation({
    mutationFn: () => api.changePerson(person.id, { version: person.version, name, timeZone }),
    onSuccess: () => say({ tone: 'good', title: 'Kept', text: 'Your details are changed.' }),
    onSettled: () => client.invalidateQueries({ queryKey: keys.session }),
  });
  const refusal = saving.error ? refusalOf(saving.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    saving.mutate();
  };
  return (
    <section className="stack" aria-labelledby="details">
      <h2 id="details">Your details</h2>
      <form className="form narrow" onSubmit={submit}>
        <TextField
          label="Name"
          autoComplete="name"
          required
          value={name}
          error={fieldMessage(refusal, 'name')}
          onChange={setName}
        />
        <TextField
          label="Time zone"
          hint="For reminders, quiet hours and your working hours; times of the plan are on the clock of the house."
          list={timeZones()}
          value={timeZone}
          error={fieldMessage(refusal, 'timeZone')}
          onChange={setTimeZone}
        />
        <div className="form-foot">
          <Button type="submit" look="main" busy={saving.isPending}>
            Save
          </Button>
        </div>
        <div className="field-wide">
          <Refusal marked error={saving.error} />
        </div>
      </form>
    </section>
  );
}

function NewPassword() {
  const [current, setCurrent] = useState('');
  const [next, setNext] = useState('');
  const { person } = useHere();
  const changing = useMutation({
    mutationFn: () => api.changePassword({ current, next }),
    onSuccess: () => {
      setCurrent('');
      setNext('');
      say({ tone: 'good', title: 'Password changed', text: 'Your other sessions have ended.' });
    },
  });
  const refusal = changing.error ? refusalOf(changing.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    changing.mutate();
  };
  return (
    <section className="section stack" aria-labelledby="password">
      <h2 id="password">Password</h2>
      <form className="form narrow" onSubmit={submit}>
        <input
          type="text"
          className="hidden"
          autoComplete="username"
          readOnly
          value={person.email}
          tabIndex={-1}
          aria-hidden
        />
        <TextField
          label="The one you have"
          type="password"
          autoComplete="current-password"
          required
          value={current}
          error={fieldMessage(refusal, 'current')}
          onChange={setCurrent}
        />
        <TextField
          label="The new one"
          type="password"
          autoComplete="new-password"
          hint="At least 12 characters; a few unrelated words work well."
          required
          value={next}
          error={fieldMessage(refusal, 'next')}
          onChange={setNext}
        />
        <div className="form-foot">
          <Button type="submit" look="main" busy={changing.isPending}>
            Change the password
          </Button>
        </div>
        <div className="field-wide">
          <Refusal marked error={changing.error} />
        </div>
      </form>
    </section>
  );
}
