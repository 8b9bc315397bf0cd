/** Edits a record in place: its form, what is wrong, and both versions when somebody else was quicker. */
import { useState, type FormEvent } from 'react';
import { Button, Notice, Refusal } from '../kit/index.js';
import { refusalOf } from '../words/refusals.js';
import { ConflictDialog } from './ConflictDialog.js';
import { draftOf, valuesOf, type Draft, type FieldSpecs } from './fieldSpec.js';
import { RecordFields } from './RecordFields.js';
import { useVersionedSave } from './useVersionedSave.js';

export interface FieldGroup<R> {
  readonly title: string;
  readonly specs: FieldSpecs<R>;
}

export function RecordEditor<R extends { version: number }>(props: {
  record: R;
  groups: readonly FieldGroup<R>[];
  /** What is edited: `These terms`. */
  what: string;
  send: (changes: Record<string, unknown>, version: number) => Promise<R>;
  reload: () => Promise<R>;
  onSaved: (record: R) => void;
  onLeave: () => void;
}) {
  // The version the person started from stays the base, whatever arrives meanwhile.
  const [base] = useState(props.record);
  const specs = props.groups.flatMap((group) => group.specs);
  const [draft, setDraft] = useState<Draft>(() => draftOf(base, specs));
  const [wrong, setWrong] = useState<Record<string, string>>({});
  const save = useVersionedSave<R>({
    keys: specs.map((spec) => spec.key),
    send: props.send,
    reload: props.reload,
    saved: props.onSaved,
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const read = valuesOf(draft, specs);
    setWrong(read.wrong);
    if (Object.keys(read.wrong).length > 0) return;
    // A field nobody touched keeps the record's own value: the form shows minutes where the record has seconds.
    const before = draftOf(base, specs);
    const touched = specs.filter((spec) => draft[spec.key] !== before[spec.key]).map((spec) => spec.key);
    if (touched.length === 0) props.onLeave();
    else save.save(base, { ...base, ...Object.fromEntries(touched.map((key) => [key, read.values[key]])) });
  };
  const told = save.error
    ? Object.fromEntries((refusalOf(save.error).fields ?? []).map((f) => [f.path, f.message]))
    : {};
  return (
    <form className="stack" onSubmit={submit} noValidate>
      {props.record.version > base.version && !save.busy && !save.conflict && (
        <Notice>
          <p>
            Somebody saved a newer version while you edit. Go on: you will see both before anything is saved.
          </p>
        </Notice>
      )}
      {props.groups.map((group) => (
        <fieldset key={group.title} className="form-group">
          <legend>{group.title}</legend>
          <div className="form">
            <RecordFields
              specs={group.specs}
              draft={draft}
              wrong={{ ...told, ...wrong }}
              onChange={(key, value) => setDraft((was) => ({ ...was, [key]: value }))}
            />
          </div>
        </fieldset>
      ))}
      <Refusal marked error={save.error} />
      {Object.keys(wrong).length > 0 && (
        <Notice tone="wrong" alert title="Some fields can’t be read yet; they are marked above." />
      )}
      <div className="row form-acts">
        <Button type="submit" look="main" busy={save.busy}>
          Save
        </Button>
        <Button onPress={props.onLeave}>Leave as it was</Button>
      </div>
      <ConflictDialog save={save} specs={specs} what={props.what} />
    </form>
  );
}
