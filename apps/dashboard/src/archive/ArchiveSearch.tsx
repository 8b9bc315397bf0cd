/** The search form of the archive. It asks when it is sent, not at every letter: a search may be long. */
import { useId, useState } from 'react';
import {
  archiveNumberNames,
  archiveNumbers,
  archiveOrders,
  unitKinds,
  unitKindWords,
  type ArchiveNumber,
  type ArchiveOrder,
  type UnitKind,
} from '../contracts.js';
import { Button, CheckField, Icon, SelectField, TextField } from '../kit/index.js';
import {
  askOf,
  draftOf,
  limitedNumbers,
  readAsk,
  type ArchiveAsk,
  type SearchDraft,
} from './archiveAddress.js';

/** The numbers most searches limit; the others open on demand. */
const first: readonly ArchiveNumber[] = ['sensitivityDb', 'f3Hz', 'coverageDeg', 'predictedPreference'];
const others = archiveNumberNames.filter((name) => !first.includes(name));
const orderWords = (order: ArchiveOrder): string => {
  if (order === 'name') return 'Name';
  if (order === 'maker') return 'Maker';
  return order === 'measured' ? 'When measured' : archiveNumbers[order].words;
};

interface AskProps {
  readonly ask: ArchiveAsk;
  readonly onAsk: (ask: ArchiveAsk) => void;
}
interface SearchProps extends AskProps {
  /** To choose from; without them the search is not by maker. */
  readonly makers?: readonly { readonly id: string; readonly name: string }[] | undefined;
  /** Numbers that are not shown, and so not searched by. */
  readonly without?: readonly ArchiveNumber[];
}
type Wrong = Partial<Record<ArchiveNumber, string>>;

export function ArchiveSearch({ ask, onAsk, makers, without = [] }: SearchProps) {
  const shown = (name: ArchiveNumber) => !without.includes(name);
  const [draft, setDraft] = useState(() => draftOf(ask));
  const [wrong, setWrong] = useState<Wrong>({});
  const limited = limitedNumbers(ask).filter((name) => !first.includes(name)).length;
  const send = () => {
    const made = askOf(draft, ask);
    setWrong('wrong' in made ? made.wrong : {});
    if ('ask' in made) onAsk(made.ask);
  };
  const range = (name: ArchiveNumber) => (
    <RangeField
      key={name}
      name={name}
      limits={draft.limits[name]}
      wrong={wrong[name]}
      onChange={(limits) => setDraft({ ...draft, limits: { ...draft.limits, [name]: limits } })}
    />
  );
  return (
    <form
      className="archive-search stack"
      aria-label="Search the archive"
      onSubmit={(event) => {
        event.preventDefault();
        send();
      }}
    >
      <div className="form">
        <TextField
          label="Words"
          value={draft.text}
          onChange={(text) => setDraft({ ...draft, text })}
          placeholder={makers ? 'Model, maker, drivers, loan' : 'Model, maker, drivers'}
        />
        {makers && (
          <SelectField
            label="Maker"
            value={draft.makerId}
            options={[
              { value: '', words: 'Any maker' },
              ...makers.map((maker) => ({ value: maker.id, words: maker.name })),
            ]}
            onChange={(makerId) => setDraft({ ...draft, makerId })}
          />
        )}
        {first.filter(shown).map(range)}
      </div>
      <details className="archive-more" open={limited > 0 || draft.kinds.length > 0}>
        <summary>Kinds and more numbers</summary>
        <div className="stack">
          <Kinds draft={draft} onChange={setDraft} />
          <div className="form">{others.filter(shown).map(range)}</div>
        </div>
      </details>
      <div className="row">
        <Button look="main" type="submit">
          Search
        </Button>
        <Button look="quiet" onPress={() => onAsk(readAsk(new URLSearchParams()))}>
          Start over
        </Button>
        <Sorting ask={ask} onAsk={onAsk} without={without} />
      </div>
    </form>
  );
}

function Kinds({ draft, onChange }: { draft: SearchDraft; onChange: (draft: SearchDraft) => void }) {
  const toggled = (kind: UnitKind, on: boolean) =>
    unitKinds.filter((each) => (each === kind ? on : draft.kinds.includes(each)));
  return (
    <fieldset className="choice">
      <legend>Kinds</legend>
      <div className="archive-kinds">
        {unitKinds.map((kind) => (
          <CheckField
            key={kind}
            label={unitKindWords[kind]}
            checked={draft.kinds.includes(kind)}
            onChange={(on) => onChange({ ...draft, kinds: toggled(kind, on) })}
          />
        ))}
      </div>
    </fieldset>
  );
}

/** The order, also where the table has no heads to press. */
function Sorting({ ask, onAsk, without }: AskProps & { without: readonly ArchiveOrder[] }) {
  return (
    <div className="archive-sorting row">
      <SelectField
        label="Sorted by"
        value={ask.sort}
        options={archiveOrders
          .filter((order) => !without.includes(order))
          .map((order) => ({ value: order, words: orderWords(order) }))}
        onChange={(sort) => onAsk({ ...ask, sort, page: 1 })}
      />
      <SelectField
        label="Order"
        value={ask.order}
        options={[
          { value: 'rising', words: 'Rising' },
          { value: 'falling', words: 'Falling' },
        ]}
        onChange={(order) => onAsk({ ...ask, order, page: 1 })}
      />
    </div>
  );
}

function RangeField(props: {
  name: ArchiveNumber;
  limits: { readonly least: string; readonly most: string };
  wrong: string | undefined;
  onChange: (limits: { least: string; most: string }) => void;
}) {
  const { limits, wrong, onChange } = props;
  const { words, unit } = archiveNumbers[props.name];
  const id = useId();
  const input = (end: 'least' | 'most', label: string) => (
    <input
      className="num"
      inputMode="decimal"
      autoComplete="off"
      aria-label={label}
      aria-invalid={wrong ? true : undefined}
      aria-describedby={wrong ? id : undefined}
      value={limits[end]}
      onChange={(event) => onChange({ ...limits, [end]: event.target.value })}
    />
  );
  return (
    <fieldset className="field archive-range" data-wrong={wrong ? '' : undefined}>
      <legend>{words}</legend>
      <div className="field-line">
        {input('least', `${words}, at least`)}
        <span className="soft small">to</span>
        {input('most', `${words}, at most`)}
        {unit !== '' && <span className="field-unit">{unit}</span>}
      </div>
      {wrong && (
        <div className="field-error" id={id}>
          <Icon name="warning" size={16} /> {wrong}
        </div>
      )}
    </fieldset>
  );
}
