/** Who is in the house, and who is invited. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { isOwner, useHere } from '../app/session.js';
import { roles, roleWords, type Person, type Role } from '../contracts.js';
import { Answer, Button, InventedMark, PageHead, Refusal, SelectField } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { DeleteAccount } from './DeleteAccount.js';
import { Invitations } from './Invitations.js';
import '../styles/people.css';

const rightsWords: Readonly<Record<Role, string>> = {
  owner: 'Everything, and who may come in.',
  cohost: 'Loans, measurements, listening, verdicts.',
  editor: 'Loans, measurements, listening, verdicts.',
  viewer: 'Only what is published.',
};

export function PeoplePage() {
  const people = useQuery(queries.people());
  const { person } = useHere();
  return (
    <>
      <PageHead title="People" />
      <Answer query={people} what="the people">
        {(found) => (
          <ul className="lines">
            {found.map((each) => (
              <PersonLine key={each.id} person={each} mayChange={isOwner(person) && each.id !== person.id} />
            ))}
          </ul>
        )}
      </Answer>
      {isOwner(person) && <Invitations />}
    </>
  );
}

const roleOptions = roles
  .filter((role): role is Exclude<Role, 'owner'> => role !== 'owner')
  .map((role) => ({ value: role, words: roleWords[role] }));

function PersonLine({ person, mayChange }: { person: Person; mayChange: boolean }) {
  const client = useQueryClient();
  const changing = useMutation({
    mutationFn: (part: { role?: Exclude<Role, 'owner'>; disabled?: boolean }) =>
      api.changePerson(person.id, { version: person.version, ...part }),
    onSuccess: (changed) =>
      say({
        tone: 'good',
        title: changed.name,
        text: changed.disabled
          ? 'May no longer come in; every session has ended.'
          : `Is now ${roleWords[changed.role].toLowerCase()}.`,
      }),
    onSettled: () => client.invalidateQueries({ queryKey: keys.people }),
  });
  return (
    <li className="person">
      <div>
        <strong>{person.name}</strong> {person.invented && <InventedMark />}{' '}
        {person.disabled && <span className="tag">may not come in</span>}
        <div className="small soft">{person.email}</div>
      </div>
      {mayChange && person.role !== 'owner' ? (
        <>
          <SelectField
            label={<span className="hidden">Role of {person.name}</span>}
            value={person.role}
            options={roleOptions}
            onChange={(role) => changing.mutate({ role })}
          />
          <Button
            look={person.disabled ? 'plain' : 'grave'}
            busy={changing.isPending}
            onPress={() => changing.mutate({ disabled: !person.disabled })}
          >
            {person.disabled ? 'Let in again' : 'Shut out'}
          </Button>
          <DeleteAccount id={person.id} name={person.name} own={false} />
        </>
      ) : (
        <div>
          {roleWords[person.role]}
          <div className="small soft">{rightsWords[person.role]}</div>
        </div>
      )}
      <Refusal error={changing.error} />
    </li>
  );
}
