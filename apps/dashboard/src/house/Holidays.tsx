/** Days on which the house does not work. */
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { HouseView } from '../contracts.js';
import { Button, Day, IconButton, Notice, Refusal, TextField, useToday } from '../kit/index.js';
import { useHouseSave } from './useHouseSave.js';

type Holiday = HouseView['holidays'][number];
const byDay = (a: Holiday, b: Holiday): number => a.day.localeCompare(b.day);

export function Holidays({ house }: { house: HouseView }) {
  const today = useToday();
  const [day, setDay] = useState('');
  const [name, setName] = useState('');
  const saving = useHouseSave(
    (holidays: Holiday[]) => api.changeHouse({ version: house.version, holidays }),
    () => {
      setDay('');
      setName('');
    },
  );
  const shown = house.holidays.filter((one) => one.day >= today).sort(byDay);
  const past = house.holidays.length - shown.length;
  const add = (event: FormEvent) => {
    event.preventDefault();
    const others = house.holidays.filter((one) => one.day !== day);
    saving.mutate([...others, { day, name: name.trim() }].sort(byDay));
  };
  return (
    <section className="section stack" aria-labelledby="holidays">
      <h2 id="holidays">Holidays</h2>
      {shown.length === 0 && <p className="soft">None to come.</p>}
      <ul className="lines" hidden={shown.length === 0}>
        {shown.map((one) => (
          <li key={one.day} className="row apart">
            <span>
              <Day day={one.day} /> {one.name !== '' && <strong>{one.name}</strong>}
            </span>
            <IconButton
              icon="cross"
              label={`Remove ${one.name === '' ? one.day : one.name}`}
              onPress={() => saving.mutate(house.holidays.filter((other) => other !== one))}
            />
          </li>
        ))}
      </ul>
      {past > 0 && <p className="small soft">{past} more lie in the past.</p>}
      <form className="house-add" onSubmit={add}>
        <TextField label="Day" type="date" required value={day} onChange={setDay} />
        <TextField label="Name" value={name} onChange={setName} />
        <Button type="submit" busy={saving.isPending}>
          Add
        </Button>
      </form>
      {saving.stale ? (
        <Notice tone="caution" alert title="Somebody changed the house meanwhile. Nothing was kept.">
          <p>What you see now is theirs; press once more to put yours on top.</p>
        </Notice>
      ) : (
        <Refusal error={saving.error} />
      )}
    </section>
  );
}
