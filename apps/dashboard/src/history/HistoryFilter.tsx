/** Which lines of the history: by whom, with which words, of which days; and the same ones to take home. */
import { useQuery } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { queries } from '../api/queries.js';
import { asAddress, type HistoryQuery } from '../contracts.js';
import { Button, SelectField, TextField } from '../kit/index.js';

interface Draft {
  by: string;
  text: string;
  from: string;
  to: string;
}
const nothing: Draft = { by: '', text: '', from: '', to: '' };

/** What is left empty is not asked for. */
function askOf(draft: Draft): HistoryQuery {
  return Object.fromEntries(Object.entries(draft).filter(([, value]) => value !== ''));
}

export function HistoryFilter(props: {
  readonly ask: HistoryQuery;
  readonly onAsk: (ask: HistoryQuery) => void;
}) {
  const people = useQuery(queries.people()).data ?? [];
  const [draft, setDraft] = useState<Draft>(nothing);
  const put = (part: Partial<Draft>) => setDraft({ ...draft, ...part });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    props.onAsk(askOf(draft));
  };
  const clear = () => {
    setDraft(nothing);
    props.onAsk({});
  };
  const anyone = [
    { value: '', words: 'Anyone' },
    ...people.map(({ id, name }) => ({ value: id, words: name })),
  ];
  return (
    <form className="history-filter" aria-label="The history" onSubmit={submit}>
      <SelectField label="Who" value={draft.by} options={anyone} onChange={(by) => put({ by })} />
      <TextField label="Words" value={draft.text} onChange={(text) => put({ text })} />
      <TextField label="From" type="date" value={draft.from} onChange={(from) => put({ from })} />
      <TextField label="To" type="date" value={draft.to} onChange={(to) => put({ to })} />
      <div className="row history-filter-acts">
        <Button type="submit" look="main">
          Search
        </Button>
        {Object.keys(props.ask).length > 0 && <Button onPress={clear}>Show all</Button>}
        <a className="button" href={`/api/history/file.csv?${asAddress(props.ask)}`} download>
          Download as CSV
        </a>
      </div>
    </form>
  );
}
