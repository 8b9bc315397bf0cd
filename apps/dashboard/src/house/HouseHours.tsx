/** When the house works, when it may be loud, and how early a loan counts as at risk. */
import { useState, type FormEvent } from 'react';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import type { HouseView } from '../contracts.js';
import { Button, Dialog, Overtaken, Refusal, TextField } from '../kit/index.js';
import { count, parseNumber } from '../words/numbers.js';
import { draftHours, HoursFields, hoursDraft } from './HoursFields.js';
import { hoursWords, usualHours } from './hoursText.js';
import { useHouseSave } from './useHouseSave.js';

type Said = Pick<HouseView, 'hours' | 'loudHours' | 'atRiskWorkingDays'>;

export function HouseHours({ house }: { house: HouseView }) {
  const [editing, setEditing] = useState(false);
  return (
    <section className="stack" aria-labelledby="house-hours">
      <div className="row apart">
        <h2 id="house-hours">Hours of the house</h2>
        <Button look="quiet" icon="pencil" onPress={() => setEditing(true)}>
          Change the hours
        </Button>
      </div>
      <HouseFacts said={house} zone={house.timeZone} />
      {editing && <HouseForm house={house} onClose={() => setEditing(false)} />}
    </section>
  );
}

function HouseFacts({ said, zone }: { said: Said; zone: string }) {
  return (
    <dl className="facts">
      <div>
        <dt>Working hours</dt>
        <dd>{hoursWords(said.hours ?? usualHours)}</dd>
      </div>
      <div>
        <dt>Loud work allowed</dt>
        <dd>{said.loudHours === null ? 'in the working hours' : hoursWords(said.loudHours)}</dd>
      </div>
      <div>
        <dt>At risk below</dt>
        <dd>{count(said.atRiskWorkingDays, 'working day')} to spare</dd>
      </div>
      <div>
        <dt>Clock</dt>
        <dd>{zone.replaceAll('_', ' ')}</dd>
      </div>
    </dl>
  );
}

const inShort = ({ hours, loudHours, atRiskWorkingDays }: Said): string =>
  `${hoursWords(hours ?? usualHours)}; loud ${loudHours === null ? 'in the working hours' : hoursWords(loudHours)}; at risk below ${count(atRiskWorkingDays, 'day')}`;

function HouseForm({ house, onClose }: { house: HouseView; onClose: () => void }) {
  const [base] = useState(house.version);
  const [hours, setHours] = useState(() => hoursDraft(house.hours, usualHours));
  const [loud, setLoud] = useState(() => hoursDraft(house.loudHours, house.hours ?? usualHours));
  const [risk, setRisk] = useState(String(house.atRiskWorkingDays));
  const days = parseNumber(risk);
  const wrongRisk =
    days !== null && Number.isInteger(days) && days >= 0 && days <= 30
      ? undefined
      : 'A whole number from 0 to 30.';
  const read = { hours: draftHours(hours), loudHours: draftHours(loud) };
  const saving = useHouseSave((version: number) => {
    const { hours: asked, loudHours } = read;
    if (asked === undefined || loudHours === undefined)
      throw new Error('A line of the hours cannot be read.');
    return api.changeHouse({ version, hours: asked, loudHours, atRiskWorkingDays: days ?? 0 });
  }, onClose);
  const wrong = read.hours === undefined || read.loudHours === undefined || wrongRisk !== undefined;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (!wrong) saving.mutate(base);
  };
  return (
    <Dialog title="Hours of the house" open wide keepOnOutsidePress onClose={onClose}>
      <form className="stack" onSubmit={submit}>
        <HoursFields
          label="Working hours"
          otherwise={hoursWords(usualHours)}
          draft={hours}
          onChange={setHours}
        />
        <HoursFields
          label="Loud work allowed"
          otherwise="In the working hours"
          draft={loud}
          onChange={setLoud}
        />
        <p className="small soft">
          Local noise rules come first. What protects ears and neighbours is said under{' '}
          <Link to="/cautions">loud and heavy work</Link>.
        </p>
        <TextField
          label="A loan is at risk below"
          unit="working days to spare"
          inputMode="numeric"
          value={risk}
          error={wrongRisk}
          onChange={setRisk}
        />
        {saving.stale ? (
          <Overtaken
            what="these hours"
            theirs={inShort(house)}
            mine={inShort({
              hours: read.hours ?? null,
              loudHours: read.loudHours ?? null,
              atRiskWorkingDays: days ?? 0,
            })}
            busy={saving.isPending}
            onTheirs={onClose}
            onMine={() => saving.mutate(house.version)}
          />
        ) : (
          <div className="row">
            <Button type="submit" look="main" busy={saving.isPending} isDisabled={wrong}>
              Save
            </Button>
            <Button onPress={onClose}>Leave as it was</Button>
          </div>
        )}
        <Refusal error={saving.stale ? null : saving.error} />
      </form>
    </Dialog>
  );
}
