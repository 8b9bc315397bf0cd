/** The people at a maker. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { MakerView } from '../contracts.js';
import { isStale } from '../edit/useVersionedSave.js';
import { Button, Dialog, IconButton, Notice, Refusal, TextField } from '../kit/index.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';

type Contact = MakerView['contacts'][number];
type ContactDraft = Omit<Contact, 'id'>;
const empty: ContactDraft = { name: '', duty: '', email: '', phone: '' };

/** Contacts are saved as a list, so a change is always made on the list as it stands now. */
function useChangeContacts(maker: MakerView, onSaved: (maker: MakerView) => void) {
  return useMutation({
    mutationFn: async (change: (contacts: ContactDraft[]) => ContactDraft[]) => {
      const save = (now: MakerView) =>
        api.changeMaker(now.id, {
          version: now.version,
          contacts: change(now.contacts.map(({ id: _id, ...rest }) => rest)),
        });
      try {
        return await save(maker);
      } catch (error) {
        if (!isStale(error)) throw error;
        // Somebody changed the maker meanwhile: the same change on what stands now loses nothing of theirs.
        return save(await api.maker(maker.id));
      }
    },
    onSuccess: onSaved,
  });
}

export function Contacts({ maker, onSaved }: { maker: MakerView; onSaved: (maker: MakerView) => void }) {
  const [editing, setEditing] = useState<Contact | 'new' | null>(null);
  const removing = useChangeContacts(maker, onSaved);
  return (
    <section className="section stack">
      <div className="row apart">
        <h2>Contacts</h2>
        <Button look="quiet" icon="plus" onPress={() => setEditing('new')}>
          Add a contact
        </Button>
      </div>
      {maker.contacts.length === 0 && <p className="soft">Nobody yet: press, freight, engineering.</p>}
      <ul className="lines">
        {maker.contacts.map((contact) => (
          <li key={contact.id} className="row apart">
            <span>
              <strong>{contact.name}</strong> <span className="soft">{contact.duty}</span>
              <span className="contact-ways small">
                {contact.email !== '' && <a href={`mailto:${contact.email}`}>{contact.email}</a>}
                {contact.phone !== '' && (
                  <a href={`tel:${contact.phone.replaceAll(/\s/g, '')}`}>{contact.phone}</a>
                )}
              </span>
            </span>
            <span className="row">
              <IconButton
                icon="pencil"
                label={`Change ${contact.name}`}
                onPress={() => setEditing(contact)}
              />
              <IconButton
                icon="cross"
                label={`Remove ${contact.name}`}
                isDisabled={removing.isPending}
                onPress={() =>
                  removing.mutate((contacts) => contacts.filter((each) => !sameContact(each, contact)))
                }
              />
            </span>
          </li>
        ))}
      </ul>
      <Refusal error={removing.error} />
      {editing && (
        <ContactDialog
          maker={maker}
          contact={editing === 'new' ? null : editing}
          onSaved={(saved) => {
            setEditing(null);
            onSaved(saved);
          }}
          onClose={() => setEditing(null)}
        />
      )}
    </section>
  );
}

function sameContact(a: ContactDraft, b: ContactDraft): boolean {
  return a.name === b.name && a.duty === b.duty && a.email === b.email && a.phone === b.phone;
}

function ContactDialog(props: {
  maker: MakerView;
  contact: Contact | null;
  onSaved: (maker: MakerView) => void;
  onClose: () => void;
}) {
  const { contact } = props;
  const [draft, setDraft] = useState<ContactDraft>(contact ?? empty);
  const saving = useChangeContacts(props.maker, props.onSaved);
  const refusal = saving.error ? refusalOf(saving.error) : null;
  const set = (part: Partial<ContactDraft>) => setDraft((was) => ({ ...was, ...part }));
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const { name, duty, email, phone } = draft;
    const mine = { name, duty, email, phone };
    saving.mutate((contacts) =>
      contact ? contacts.map((each) => (sameContact(each, contact) ? mine : each)) : [...contacts, mine],
    );
  };
  return (
    <Dialog title={contact ? `Change ${contact.name}` : 'Add a contact'} open onClose={props.onClose}>
      <form className="form" onSubmit={submit}>
        <TextField
          label="Name"
          required
          focusFirst
          value={draft.name}
          error={fieldMessage(refusal, 'name')}
          onChange={(name) => set({ name })}
        />
        <TextField
          label="Duty"
          hint="Press, freight, engineering."
          value={draft.duty}
          onChange={(duty) => set({ duty })}
        />
        <TextField label="E-mail" type="email" value={draft.email} onChange={(email) => set({ email })} />
        <TextField label="Phone" type="tel" value={draft.phone} onChange={(phone) => set({ phone })} />
        <div className="form-foot">
          <Button type="submit" look="main" busy={saving.isPending}>
            Save
          </Button>
        </div>
        <div className="field-wide">
          {props.maker.invented && <Notice icon="pencil">Invented people: nobody is reached.</Notice>}
          <Refusal error={saving.error} />
        </div>
      </form>
    </Dialog>
  );
}
