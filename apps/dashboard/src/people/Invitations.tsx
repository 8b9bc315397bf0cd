/** Inviting by a link that is shown once. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { roleWords, type Invitation, type Role } from '../contracts.js';
import { Answer, Button, Instant, Notice, Refusal, SelectField, TextField } from '../kit/index.js';
import { parseNumber } from '../words/numbers.js';

const roleOptions: readonly { value: Exclude<Role, 'owner'>; words: string }[] = [
  { value: 'cohost', words: 'Co-host' },
  { value: 'editor', words: 'Editor' },
  { value: 'viewer', words: 'Viewer (only what is published)' },
];

export function Invitations() {
  const invitations = useQuery(queries.invitations());
  return (
    <section className="section stack" aria-labelledby="invitations">
      <h2 id="invitations">Invitations</h2>
      <Invite />
      <Answer query={invitations} what="the invitations">
        {(found) => (
          <ul className="lines">
            {found.map((each) => (
              <InvitationLine key={each.id} invitation={each} />
            ))}
          </ul>
        )}
      </Answer>
    </section>
  );
}

function Invite() {
  const client = useQueryClient();
  const [role, setRole] = useState<Exclude<Role, 'owner'>>('cohost');
  const [note, setNote] = useState('');
  const [days, setDays] = useState('7');
  const inviting = useMutation({
    mutationFn: () => api.invite({ role, note, daysValid: parseNumber(days) ?? 7 }),
    onSuccess: () => setNote(''),
    onSettled: () => client.invalidateQueries({ queryKey: keys.invitations }),
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    inviting.mutate();
  };
  return (
    <>
      <form className="invite" onSubmit={submit}>
        <SelectField label="Invite a" value={role} options={roleOptions} onChange={setRole} />
        <TextField label="Who it is for" hint="Only for your own list." value={note} onChange={setNote} />
        <TextField label="Open for" inputMode="numeric" unit="days" value={days} onChange={setDays} />
        <Button type="submit" look="main" busy={inviting.isPending}>
          Make a link
        </Button>
      </form>
      <Refusal error={inviting.error} />
      {inviting.data?.link && (
        <FreshLink key={inviting.data.id} link={new URL(inviting.data.link, window.location.href).href} />
      )}
    </>
  );
}

function FreshLink({ link }: { link: string }) {
  const [copied, setCopied] = useState<'no' | 'yes' | 'failed'>('no');
  const copy = () => {
    navigator.clipboard?.writeText(link).then(
      () => setCopied('yes'),
      () => setCopied('failed'),
    );
    // Without a secure connection there is no clipboard to write to.
    if (!navigator.clipboard) setCopied('failed');
  };
  return (
    <Notice icon="people" title="Send this link to them. It is shown only now." alert>
      <input
        className="num"
        readOnly
        value={link}
        aria-label="Invitation link"
        onFocus={(event) => event.target.select()}
      />
      <div className="row">
        <Button onPress={copy}>Copy the link</Button>
        <output className="small">
          {copied === 'yes' && 'Copied.'}
          {copied === 'failed' && 'It could not be copied; mark it above and copy it.'}
        </output>
      </div>
    </Notice>
  );
}

const stateWords: Readonly<Record<Invitation['state'], string>> = {
  open: 'open until',
  accepted: 'accepted',
  revoked: 'withdrawn',
  expired: 'ran out',
};

function InvitationLine({ invitation }: { invitation: Invitation }) {
  const client = useQueryClient();
  const revoking = useMutation({
    mutationFn: () => api.revokeInvitation(invitation.id),
    onSettled: () => client.invalidateQueries({ queryKey: keys.invitations }),
  });
  return (
    <li className="row apart">
      <span>
        <strong>{roleWords[invitation.role]}</strong> {invitation.note}
        <span className="small soft invitation-state">
          by {invitation.invitedBy}, {stateWords[invitation.state]}{' '}
          {invitation.state === 'open' && <Instant at={invitation.expiresAt} />}
        </span>
      </span>
      {invitation.state === 'open' && (
        <Button busy={revoking.isPending} onPress={() => revoking.mutate()}>
          Withdraw
        </Button>
      )}
      <Refusal error={revoking.error} />
    </li>
  );
}
