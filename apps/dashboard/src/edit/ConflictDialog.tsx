/** Both versions side by side; the second writer decides field by field. */
import { useState } from 'react';
import { Button, Dialog, useToday } from '../kit/index.js';
import { wordsOf, type FieldSpec, type FieldSpecs } from './fieldSpec.js';
import type { Clash } from './merge.js';
import type { VersionedSave } from './useVersionedSave.js';
import '../styles/edit.css';

export function ConflictDialog<R extends { version: number }>(props: {
  save: VersionedSave<R>;
  specs: FieldSpecs<R>;
  /** What was edited: `These terms`. */
  what: string;
}) {
  const { save, specs } = props;
  const [keepMine, setKeepMine] = useState<ReadonlySet<string>>(new Set());
  const conflict = save.conflict;
  if (!conflict) return null;
  const { merge } = conflict;
  const specOf = (key: string) => specs.find((spec) => spec.key === key);
  const toggle = (key: string, mine: boolean) => {
    const next = new Set(keepMine);
    if (mine) next.add(key);
    else next.delete(key);
    setKeepMine(next);
  };
  return (
    <Dialog title={`${props.what} changed meanwhile`} open wide keepOnOutsidePress onClose={save.dropMine}>
      <p>
        Somebody saved a newer version while you were editing. Nothing of theirs or yours is lost: choose what
        should stand.
      </p>
      {merge.clashes.map((clash) => (
        <ClashChoice
          key={clash.key}
          clash={clash}
          spec={specOf(clash.key)}
          keepMine={keepMine.has(clash.key)}
          onChoose={(mine) => toggle(clash.key, mine)}
        />
      ))}
      {merge.theirsOnly.length > 0 && (
        <p className="small soft">They also changed: {names(merge.theirsOnly, specs)}. That is kept.</p>
      )}
      {merge.mineOnly.length > 0 && (
        <p className="small soft">Only you changed: {names(merge.mineOnly, specs)}. That is kept too.</p>
      )}
      <div className="row">
        <Button look="main" busy={save.busy} onPress={() => save.decide(keepMine)}>
          Save this choice
        </Button>
        <Button onPress={save.dropMine}>Drop my changes</Button>
      </div>
    </Dialog>
  );
}

function ClashChoice<R>(props: {
  clash: Clash;
  spec: FieldSpec<R> | undefined;
  keepMine: boolean;
  onChoose: (mine: boolean) => void;
}) {
  const { clash, spec } = props;
  const today = useToday();
  const words = (value: unknown): string => {
    if (!spec) return JSON.stringify(value);
    return wordsOf({ [spec.key]: value } as R, spec, today) ?? spec.none ?? 'nothing';
  };
  const sides = [
    { mine: false, title: 'Saved by them', value: clash.theirs },
    { mine: true, title: 'Typed by you', value: clash.mine },
  ];
  return (
    <fieldset className="clash">
      <legend>
        {spec?.label ?? clash.key} <span className="small soft">was {words(clash.was)}</span>
      </legend>
      <div className="clash-sides">
        {sides.map((side) => (
          <label
            key={side.title}
            className="clash-side"
            data-chosen={side.mine === props.keepMine || undefined}
          >
            <input
              type="radio"
              aria-label={`${side.title}: ${words(side.value)}`}
              name={`clash-${clash.key}`}
              checked={side.mine === props.keepMine}
              onChange={() => props.onChoose(side.mine)}
            />
            <span>
              <span className="small soft">{side.title}</span>
              <span className="clash-value">{words(side.value)}</span>
            </span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function names<R>(keys: readonly string[], specs: FieldSpecs<R>): string {
  return keys.map((key) => (specs.find((spec) => spec.key === key)?.label ?? key).toLowerCase()).join(', ');
}
