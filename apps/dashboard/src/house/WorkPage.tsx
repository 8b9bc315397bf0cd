/** The work on each kind of unit: what the plan counts with, next to what the team really took. */
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { queries } from '../api/queries.js';
import {
  unitKindWords,
  type EstimateView,
  type HouseView,
  type StepTemplate,
  type TemplateView,
  type UnitKind,
} from '../contracts.js';
import { Answer, Button, Dialog, Refusal, SelectField } from '../kit/index.js';
import { laneName } from '../plan/weekLayout.js';
import { count, inSentence, listWords, minutesWords } from '../words/numbers.js';
import { Learned } from './Learned.js';
import { StepForm } from './StepForm.js';
import { useHouseSave } from './useHouseSave.js';
import '../styles/house.css';

export function WorkPage() {
  const templates = useQuery(queries.templates());
  const house = useQuery(queries.house());
  const estimates = useQuery(queries.estimates()).data ?? [];
  const [kind, setKind] = useState('standmount');
  return (
    <Answer query={templates} what="the work">
      {(found) => (
        <Answer query={house} what="the places">
          {(view) => {
            const template = found.find((one) => one.kind === kind) ?? found[0];
            if (!template) return null;
            return (
              <div className="stack">
                <div className="narrow-field">
                  <SelectField
                    label="Kind of unit"
                    value={template.kind}
                    options={found.map((one) => ({ value: one.kind, words: kindWords(one.kind) }))}
                    onChange={setKind}
                  />
                </div>
                <Template key={template.kind} template={template} house={view} estimates={estimates} />
              </div>
            );
          }}
        </Answer>
      )}
    </Answer>
  );
}

const kindWords = (kind: string): string => unitKindWords[kind as UnitKind] ?? kind;

function Template(props: { template: TemplateView; house: HouseView; estimates: readonly EstimateView[] }) {
  const { template, house } = props;
  const [editing, setEditing] = useState<string | null>(null);
  const [asking, setAsking] = useState(false);
  const edited = template.steps.find((step) => step.kind === editing);
  const learned = props.estimates.filter(({ unitKind }) => unitKind === template.kind);
  return (
    <>
      <div className="row apart">
        <p className="soft">
          {template.isDefault
            ? 'The usual times, until the team writes its own (common practice, no source).'
            : 'The team’s own times.'}
        </p>
        <div className="row">
          {!template.isDefault && (
            <Button look="quiet" onPress={() => setAsking(true)}>
              Back to the usual ones
            </Button>
          )}
          <Button look="quiet" icon="plus" onPress={() => setEditing('')}>
            Add a step
          </Button>
        </div>
      </div>
      <table className="list-table work-table">
        <thead>
          <tr>
            <th scope="col">Step</th>
            <th scope="col">Planned</th>
            <th scope="col">What it really took</th>
            <th scope="col">Needs</th>
            <th scope="col">
              <span className="hidden">Change</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {template.steps.map((step) => (
            <tr key={step.kind}>
              <th scope="row">
                {step.label}
                <AfterWords step={step} steps={template.steps} />
              </th>
              <td>{timeWords(step)}</td>
              <td>
                <Learned estimate={learned.find((one) => one.kind === step.kind)} planned={step.minutes} />
              </td>
              <td className="small">{needWords(step, house)}</td>
              <td>
                <Button look="quiet" icon="pencil" onPress={() => setEditing(step.kind)}>
                  Change<span className="hidden"> “{step.label}”</span>
                </Button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {editing !== null && (
        <StepForm
          key={editing}
          step={edited ?? null}
          template={template}
          house={house}
          median={learned.find(({ kind }) => kind === editing)?.medianMinutes}
          onClose={() => setEditing(null)}
        />
      )}
      <ResetDialog template={template} open={asking} onClose={() => setAsking(false)} />
    </>
  );
}

function AfterWords({ step, steps }: { step: StepTemplate; steps: readonly StepTemplate[] }) {
  const names = step.after.map((kind) => inSentence(steps.find((one) => one.kind === kind)?.label ?? kind));
  if (names.length === 0) return null;
  return <div className="small soft work-after">after {listWords(names)}</div>;
}

function timeWords(step: StepTemplate): string {
  const per =
    step.per === 'unit' ? ' a unit' : step.combine === 'sum' ? ' for each unit, in one go' : ' a loan';
  const sessions =
    step.sessions !== undefined && step.sessions > 1
      ? `, in ${count(step.sessions, 'session')}${step.separateDays ? ' on separate days' : ''}`
      : '';
  return `${minutesWords(step.minutes)}${per}${sessions}`;
}

function needWords(step: StepTemplate, house: HouseView): string {
  const place = house.places.find(({ id }) => id === step.place)?.name;
  return [
    step.people === 0 ? 'nobody' : count(step.people, 'person', 'people'),
    ...(place === undefined ? [] : [inSentence(laneName(place))]),
    ...(step.loud ? ['loud'] : []),
    ...(step.unattended ? ['runs by itself'] : []),
    ...(step.needsUnit ? ['the unit'] : []),
  ].join(', ');
}

function ResetDialog(props: { template: TemplateView; open: boolean; onClose: () => void }) {
  const resetting = useHouseSave(() => api.resetTemplate(props.template.kind), props.onClose);
  return (
    <Dialog title="Back to the usual steps" open={props.open} onClose={props.onClose}>
      <p>
        The team’s own steps for this kind of unit are given up. What they really took stays in the records.
      </p>
      <div className="row">
        <Button look="grave" busy={resetting.isPending} onPress={() => resetting.mutate(undefined)}>
          Give them up
        </Button>
        <Button onPress={props.onClose}>Keep them</Button>
      </div>
      <Refusal error={resetting.error} />
    </Dialog>
  );
}
