/** Pros, cons and suggestions with what they rest on. When somebody else was quicker, both versions stand side by side. */
import { useMutation } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { evidenceSentences, sameEvidence } from '../../../../libs/drafts/index.js';
import { api } from '../api/api.js';
import {
  suggestionSubjects,
  suggestionWords,
  type EvidenceChoices,
  type EvidenceRef,
  type LoanView,
  type Point,
  type Suggestion,
  type VerdictView,
} from '../contracts.js';
import { isStale } from '../edit/useVersionedSave.js';
import { Button, IconButton, Notice, Refusal, SelectField, TextField } from '../kit/index.js';
import { useKeepLoan } from '../loans/useLoan.js';
import '../styles/edit.css';

/** A line of a list, with an identity of its own while it is edited. */
interface Line<T> {
  readonly key: number;
  readonly value: T;
}
let lastKey = 0;
const line = <T,>(value: T): Line<T> => ({ key: ++lastKey, value });
const asLines = ({ pros, cons, suggestions }: VerdictView['points']) => ({
  pros: pros.map(line),
  cons: cons.map(line),
  suggestions: suggestions.map(line),
});

export function PointsEditor(props: {
  loan: LoanView;
  choices: EvidenceChoices | undefined;
  onLeave: () => void;
}) {
  const { loan, choices, onLeave } = props;
  const keep = useKeepLoan();
  const [version, setVersion] = useState(loan.verdict.version);
  const [lines, setLines] = useState(() => asLines(loan.verdict.points));
  const [theirs, setTheirs] = useState<VerdictView | null>(null);
  const saving = useMutation({
    mutationFn: async () => {
      const filled = <T extends Point>(all: readonly Line<T>[]) =>
        all.map(({ value }) => value).filter(({ text }) => text.trim() !== '');
      await api.changeVerdict(loan.id, {
        version,
        pros: filled(lines.pros),
        cons: filled(lines.cons),
        suggestions: filled(lines.suggestions),
      });
      return api.loan(loan.id);
    },
    onSuccess: (fresh) => {
      keep(fresh);
      onLeave();
    },
    onError: (error) => {
      if (isStale(error)) void api.loan(loan.id).then((fresh) => setTheirs(fresh.verdict));
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    saving.mutate();
  };
  const takeOver = (newer: VerdictView, alsoTheirs: boolean) => {
    setVersion(newer.version);
    if (alsoTheirs) setLines(asLines(newer.points));
    setTheirs(null);
  };
  return (
    <form className="stack verdict-form" onSubmit={submit}>
      {theirs && <Theirs theirs={theirs} onTake={(also) => takeOver(theirs, also)} />}
      <Points
        title="For it"
        one="pro"
        choices={choices}
        lines={lines.pros}
        onChange={(pros) => setLines({ ...lines, pros })}
        fresh={{ text: '', evidence: '', refs: [] }}
      />
      <Points
        title="Against it"
        one="con"
        choices={choices}
        lines={lines.cons}
        onChange={(cons) => setLines({ ...lines, cons })}
        fresh={{ text: '', evidence: '', refs: [] }}
      />
      <Points<Suggestion>
        title="Suggestions"
        one="suggestion"
        choices={choices}
        lines={lines.suggestions}
        onChange={(suggestions) => setLines({ ...lines, suggestions })}
        fresh={{ about: 'placement', text: '', evidence: '', refs: [] }}
      />
      {!isStale(saving.error) && <Refusal error={saving.error} />}
      <div className="row form-acts">
        <Button type="submit" look="main" busy={saving.isPending} isDisabled={theirs !== null}>
          Save the points
        </Button>
        <Button onPress={onLeave}>Leave as it was</Button>
        {loan.verdict.signOffs.some((signOff) => signOff.stands) && (
          <span className="small soft">Saving voids the sign-offs given so far.</span>
        )}
      </div>
    </form>
  );
}

function Theirs({ theirs, onTake }: { theirs: VerdictView; onTake: (also: boolean) => void }) {
  const { pros, cons, suggestions } = theirs.points;
  const words = [
    ...pros.map((point) => `+ ${said(point)}`),
    ...cons.map((point) => `− ${said(point)}`),
    ...suggestions.map((point) => `${suggestionWords[point.about]}: ${said(point)}`),
  ];
  return (
    <Notice tone="caution" alert title="Somebody saved newer points while you were writing.">
      <p>Nothing is lost. These are theirs; take over what should stand in yours below, then save.</p>
      <pre className="verdict-theirs">{words.join('\n')}</pre>
      <div className="row">
        <Button onPress={() => onTake(false)}>I have taken over what should stand</Button>
        <Button onPress={() => onTake(true)}>Take theirs instead of mine</Button>
      </div>
    </Notice>
  );
}

const said = (point: Point): string => [point.text, ...evidenceSentences(point)].join(' ');

function Points<T extends Point>(props: {
  title: string;
  one: string;
  choices: EvidenceChoices | undefined;
  lines: Line<T>[];
  fresh: T;
  onChange: (lines: Line<T>[]) => void;
}) {
  const { one, lines, onChange } = props;
  const set = (key: number, part: Partial<Suggestion>) =>
    onChange(lines.map((each) => (each.key === key ? { ...each, value: { ...each.value, ...part } } : each)));
  return (
    <fieldset className="stack">
      <legend className="verdict-legend">{props.title}</legend>
      {lines.map(({ key, value }, index) => {
        const name = `${one.charAt(0).toUpperCase()}${one.slice(1)} ${index + 1}`;
        return (
          <div key={key} className="point-edit">
            <div className="stack">
              {'about' in value && (
                <SelectField
                  label={`What ${name.toLowerCase()} is about`}
                  value={(value as unknown as Suggestion).about}
                  options={suggestionSubjects.map((about) => ({
                    value: about,
                    words: suggestionWords[about],
                  }))}
                  onChange={(about) => set(key, { about })}
                />
              )}
              <TextField label={name} value={value.text} onChange={(text) => set(key, { text })} />
              <TextField
                label={`Evidence for ${name.toLowerCase()}`}
                hint="In words, or that there is none."
                value={value.evidence}
                onChange={(evidence) => set(key, { evidence })}
              />
              <Attached
                name={name.toLowerCase()}
                refs={value.refs}
                choices={props.choices}
                onChange={(refs) => set(key, { refs })}
              />
            </div>
            <IconButton
              icon="cross"
              label={`Remove ${name.toLowerCase()}`}
              onPress={() => onChange(lines.filter((each) => each.key !== key))}
            />
          </div>
        );
      })}
      <div>
        <Button icon="plus" onPress={() => onChange([...lines, line(props.fresh)])}>
          Add a {one}
        </Button>
      </div>
    </fieldset>
  );
}

function Attached(props: {
  name: string;
  refs: EvidenceRef[];
  choices: EvidenceChoices | undefined;
  onChange: (refs: EvidenceRef[]) => void;
}) {
  const { refs, onChange } = props;
  const all: EvidenceRef[] = (props.choices?.units ?? []).flatMap((unit) => [
    ...unit.findings,
    ...unit.remarks.map(({ by: _by, ...ref }) => ref),
    ...unit.figures.map(({ title: _title, svgUrl: _svgUrl, ...ref }) => ref),
  ]);
  const open = all.filter((choice) => !refs.some((ref) => sameEvidence(ref, choice)));
  return (
    <div className="stack">
      {refs.length > 0 && (
        <ul className="small attached">
          {refs.map((ref, index) => (
            <li key={`${ref.kind} ${ref.sentence}`} className="row apart">
              <span>{ref.sentence}</span>
              <IconButton
                icon="cross"
                label={`Detach: ${ref.sentence}`}
                onPress={() => onChange(refs.filter((_, at) => at !== index))}
              />
            </li>
          ))}
        </ul>
      )}
      {open.length > 0 && (
        <SelectField
          label={`Attach to ${props.name}`}
          value=""
          options={[
            { value: '', words: 'a finding, a remark, a figure…' },
            ...open.map((ref, index) => ({ value: String(index), words: ref.sentence.slice(0, 110) })),
          ]}
          onChange={(value) => {
            const chosen = open[Number(value)];
            if (value !== '' && chosen) onChange([...refs, chosen]);
          }}
        />
      )}
    </div>
  );
}
