/** The planned loud stretches of a day and the noise dose of whoever stays in the room. */
import { useState } from 'react';
import { Button, IconButton, Notice, Quantity, TextField } from '../kit/index.js';
import { durationWords, planLoudSession, type ExposureDraft, type PlannedExposure } from './loudSession.js';

const empty = (id: number): ExposureDraft => ({ id, level: '', minutes: '' });

export function LoudSession() {
  const [drafts, setDrafts] = useState<readonly ExposureDraft[]>(() => [empty(1)]);
  const plan = planLoudSession(drafts);
  const change = (id: number, typed: Partial<ExposureDraft>) =>
    setDrafts(drafts.map((draft) => (draft.id === id ? { ...draft, ...typed } : draft)));
  const remove = (id: number) => {
    const rest = drafts.filter((draft) => draft.id !== id);
    setDrafts(rest.length > 0 ? rest : [empty(id + 1)]);
  };
  return (
    <section className="stack" aria-labelledby="loud">
      <h2 id="loud">A loud session</h2>
      <Notice tone="caution" title="Loud signals can damage hearing for good.">
        <p>
          Wear protection, warn the house before it starts, begin low, and leave the room where a recording
          can run alone. Local rules count, whatever is reckoned here.
        </p>
      </Notice>
      <p className="soft">
        List what is planned for one day where the person stands, A-weighted and without protection.
      </p>
      <ol className="exposures">
        {plan.exposures.map((exposure, index) => (
          <ExposureLine
            key={exposure.id}
            number={index + 1}
            draft={drafts[index] ?? empty(exposure.id)}
            exposure={exposure}
            onChange={(typed) => change(exposure.id, typed)}
            onRemove={() => remove(exposure.id)}
          />
        ))}
      </ol>
      <div>
        <Button
          icon="plus"
          onPress={() => setDrafts([...drafts, empty(Math.max(...drafts.map((draft) => draft.id)) + 1)])}
        >
          Add a stretch
        </Button>
      </div>
      <Dose percent={plan.percent} averageDba={plan.timeWeightedAverageDba} incomplete={plan.incomplete} />
    </section>
  );
}

function ExposureLine(props: {
  number: number;
  draft: ExposureDraft;
  exposure: PlannedExposure;
  onChange: (typed: Partial<ExposureDraft>) => void;
  onRemove: () => void;
}) {
  const { number, draft, exposure, onChange } = props;
  return (
    <li className="exposure">
      <TextField
        label={`Level ${number}`}
        unit="dBA"
        inputMode="decimal"
        value={draft.level}
        error={exposure.wrongLevel}
        onChange={(level) => onChange({ level })}
      />
      <TextField
        label={`Time ${number}`}
        unit="min"
        inputMode="decimal"
        value={draft.minutes}
        error={exposure.wrongMinutes}
        onChange={(minutes) => onChange({ minutes })}
      />
      <p className="small exposure-words">
        {exposure.allowedMinutes !== null && exposure.leftMinutes !== null && (
          <>
            Allowed in a day at this level alone: {durationWords(exposure.allowedMinutes)}.{' '}
            {exposure.leftMinutes > 0
              ? `Left after the whole plan: ${durationWords(exposure.leftMinutes)}.`
              : 'The plan leaves no time at all.'}
          </>
        )}
      </p>
      <IconButton icon="cross" label={`Remove stretch ${number}`} onPress={props.onRemove} />
    </li>
  );
}

function Dose(props: { percent: number; averageDba: number | null; incomplete: boolean }) {
  const { percent } = props;
  const over = percent > 100;
  return (
    <output className="stack" data-over={over || undefined}>
      <dl className="facts">
        <div>
          <dt>Noise dose of the day</dt>
          <dd className="cautions-figure">
            <Quantity value={percent} unit="%" />
          </dd>
        </div>
        <div>
          <dt>Average over eight hours (TWA)</dt>
          <dd className="cautions-figure">
            <Quantity value={props.averageDba} unit="dBA" none="nothing planned" />
          </dd>
        </div>
      </dl>
      {props.incomplete && (
        <Notice tone="caution" title="A line is not complete and is not counted: the true dose is higher." />
      )}
      {over && (
        <Notice tone="wrong" title="More than a day’s limit.">
          <p>Shorten it, play lower, leave the room meanwhile, or spread it over several days.</p>
        </Notice>
      )}
      <p className="small soft">
        NIOSH publication 98-126: 100 % is 85 dBA over eight hours, and every 3 dB more halve the time. What
        else is heard on that day counts too.
      </p>
    </output>
  );
}
