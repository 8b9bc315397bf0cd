/** What a result came from, and asking for it under other readings. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import type { AnalysisView, SetView } from '../contracts.js';
import { Button, ChoiceField, Dialog, Icon, Refusal, TextField } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { count, formatQuantity, parseNumber } from '../words/numbers.js';
import { useRefreshUnit } from './useUnit.js';

type Readings = {
  earlyReflections: 'five-group-mean' | 'all-curves-mean';
  rearWall: 'nineteen' | 'three';
};
const earlyOptions = [
  { value: 'five-group-mean', words: 'Mean of the five groups' },
  { value: 'all-curves-mean', words: 'Mean of all curves' },
] as const;
const rearOptions = [
  { value: 'nineteen', words: 'All 19 curves behind' },
  { value: 'three', words: 'Only ±90° and 180°' },
] as const;

export function AnalysisSource({ analysis, set }: { analysis: AnalysisView; set: SetView }) {
  const [asking, setAsking] = useState(false);
  const settings = analysis.settings as Partial<Readings> & {
    maximumFilters?: number;
    maximumBoostDb?: number;
  };
  return (
    <section className="section stack" aria-labelledby="source">
      <h2 id="source">Where these results come from</h2>
      <dl className="facts">
        <Fact name="Method" value={`version ${analysis.algorithmVersion}`} />
        <Fact name="Early reflections" value={wordsOf(earlyOptions, settings.earlyReflections)} />
        <Fact name="Rear wall" value={wordsOf(rearOptions, settings.rearWall)} />
        {settings.maximumFilters !== undefined && (
          <Fact
            name="Equaliser"
            value={`at most ${count(settings.maximumFilters, 'filter')}, boost up to ${formatQuantity(settings.maximumBoostDb ?? 0, 'dB')}`}
          />
        )}
        {analysis.computeMs !== null && (
          <Fact name="Computed in" value={formatQuantity(analysis.computeMs / 1000, 's')} />
        )}
      </dl>
      <p className="small soft">
        Measurements of one unit on one day. Room, method and the spread between units limit what they can
        say.
      </p>
      <details className="small">
        <summary>{count(analysis.inputs.length, 'input file')}, with fingerprints</summary>
        <ul className="inputs num">
          {analysis.inputs.map((input) => (
            <li key={`${input.file} ${input.sha256}`}>
              {input.file} <span className="soft">{input.sha256}</span>
            </li>
          ))}
        </ul>
      </details>
      <div className="row">
        <Button onPress={() => setAsking(true)}>Compute with other readings</Button>
        {analysis.resultUrl && (
          <a className="button button-quiet" href={analysis.resultUrl} download="analysis.json">
            <Icon name="download" size={16} /> All numbers as JSON
          </a>
        )}
      </div>
      {asking && <ReadingsDialog analysis={analysis} set={set} onClose={() => setAsking(false)} />}
    </section>
  );
}

function wordsOf(options: readonly { value: string; words: string }[], value: unknown): string {
  return options.find((option) => option.value === value)?.words ?? 'as the house does';
}

function Fact({ name, value }: { name: string; value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  );
}

function ReadingsDialog(props: { analysis: AnalysisView; set: SetView; onClose: () => void }) {
  const { analysis, set } = props;
  const now = analysis.settings as Partial<Readings> & { maximumFilters?: number; maximumBoostDb?: number };
  const [early, setEarly] = useState<Readings['earlyReflections']>(now.earlyReflections ?? 'five-group-mean');
  const [rear, setRear] = useState<Readings['rearWall']>(now.rearWall ?? 'nineteen');
  const [filters, setFilters] = useState(String(now.maximumFilters ?? 6));
  const [boost, setBoost] = useState(String(now.maximumBoostDb ?? 3));
  const refresh = useRefreshUnit({ id: analysis.unitId, loanId: analysis.loanId });
  const asking = useMutation({
    mutationFn: () =>
      api.requestAnalysis(set.id, {
        settings: {
          earlyReflections: early,
          rearWall: rear,
          maximumFilters: parseNumber(filters) ?? 6,
          maximumBoostDb: parseNumber(boost) ?? 3,
        },
      }),
    onSuccess: async () => {
      await refresh();
      props.onClose();
      say({ tone: 'plain', title: 'Asked for', text: `${set.name} is computed with these readings.` });
    },
  });
  return (
    <Dialog title="Compute with other readings" open onClose={props.onClose}>
      <p className="small soft">
        ANSI/CTA-2034-A is read in more than one way. Results say which reading they were made with; the
        earlier ones stay.
      </p>
      <ChoiceField label="Early reflections" value={early} options={earlyOptions} onChange={setEarly} />
      <ChoiceField label="Rear wall" value={rear} options={rearOptions} onChange={setRear} />
      <TextField label="Filters at most" inputMode="numeric" value={filters} onChange={setFilters} />
      <TextField label="Boost at most" inputMode="decimal" unit="dB" value={boost} onChange={setBoost} />
      <Refusal error={asking.error} />
      <div className="row">
        <Button look="main" busy={asking.isPending} onPress={() => asking.mutate()}>
          Compute
        </Button>
        <Button onPress={props.onClose}>Leave it</Button>
      </div>
    </Dialog>
  );
}
