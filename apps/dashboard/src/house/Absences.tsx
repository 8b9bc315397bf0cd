/** When a person is away or a place is closed. */
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import type { AbsenceView, HouseView } from '../contracts.js';
import { Button, CheckField, IconButton, Refusal, SelectField, TextField, useNow } from '../kit/index.js';
import { dayInZone, shortDay } from '../words/dates.js';
import { addDays, fromHouseField, instantAt, wallClock } from '../words/houseClock.js';
import { whenWords } from '../plan/bookingWords.js';
import { subjectAsk, subjectName, subjectOptions, type Subject } from './subjects.js';
import { useHouseSave } from './useHouseSave.js';

export function Absences({ house }: { house: HouseView }) {
  const now = useNow();
  const today = dayInZone(now, house.timeZone);
  const removing = useHouseSave((id: string) => api.removeAbsence(id));
  // What a calendar brought is told of beside that calendar.
  const own = house.absences.filter(
    ({ busyCalendarId, to }) => busyCalendarId === null && new Date(to) > now,
  );
  return (
    <section className="section stack" aria-labelledby="absences">
      <h2 id="absences">Away and closed</h2>
      {own.length === 0 && <p className="soft">Nobody is away, nothing is closed.</p>}
      <ul className="lines" hidden={own.length === 0}>
        {own.map((absence) => (
          <li key={absence.id} className="row apart">
            <div>
              <strong>{subjectName(house, absence)}</strong>{' '}
              {absence.why !== '' && <span className="soft">{absence.why}</span>}
              <div className="small">{spanWords(absence, house.timeZone, today)}</div>
            </div>
            <IconButton
              icon="cross"
              label={`Take back: ${subjectName(house, absence)}, ${spanWords(absence, house.timeZone, today)}`}
              onPress={() => removing.mutate(absence.id)}
            />
          </li>
        ))}
      </ul>
      <Refusal error={removing.error} />
      <AddAbsence house={house} today={today} />
    </section>
  );
}

/** Whole days without their midnights. */
function spanWords({ from, to }: AbsenceView, zone: string, today: string): string {
  const begin = wallClock(from, zone);
  const end = wallClock(to, zone);
  if (begin.minute !== 0 || end.minute !== 0) return whenWords({ start: from, finish: to }, zone, today);
  const last = addDays(end.day, -1);
  const first = shortDay(begin.day, today);
  return begin.day === last ? first : `${first} to ${shortDay(last, today)}`;
}

function AddAbsence({ house, today }: { house: HouseView; today: string }) {
  const options = subjectOptions(house);
  const [subject, setSubject] = useState<Subject | undefined>(options[0]?.value);
  const [whole, setWhole] = useState(true);
  const [from, setFrom] = useState(today);
  const [to, setTo] = useState(today);
  const [times, setTimes] = useState({ from: '09:00', to: '18:00' });
  const [why, setWhy] = useState('');
  const span = spanOf({ whole, from, to, times }, house.timeZone);
  const saving = useHouseSave(
    (ask: { subject: Subject; from: string; to: string }) =>
      api.addAbsence({ ...subjectAsk(ask.subject), from: ask.from, to: ask.to, why: why.trim() }),
    () => setWhy(''),
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (span && subject) saving.mutate({ subject, ...span });
  };
  return (
    <form className="form" onSubmit={submit}>
      {subject && (
        <SelectField label="Who or where" value={subject} options={options} onChange={setSubject} />
      )}
      <TextField label="Why" value={why} onChange={setWhy} />
      <TextField
        label="From"
        type="date"
        required
        value={from}
        onChange={(day) => {
          setFrom(day);
          if (to < day) setTo(day);
        }}
      />
      <TextField
        label="To, that day included"
        type="date"
        required
        value={to}
        error={span === null ? 'It ends after it begins.' : undefined}
        onChange={setTo}
      />
      <div className="field-wide">
        <CheckField label="Whole days" checked={whole} onChange={setWhole} />
      </div>
      {!whole && (
        <>
          <TextField
            label="From this time"
            type="time"
            value={times.from}
            onChange={(time) => setTimes({ ...times, from: time })}
          />
          <TextField
            label="Until this time"
            type="time"
            value={times.to}
            onChange={(time) => setTimes({ ...times, to: time })}
          />
        </>
      )}
      <div className="form-foot">
        <Button type="submit" busy={saving.isPending} isDisabled={span === null}>
          Note it
        </Button>
      </div>
      <div className="field-wide">
        <Refusal error={saving.error} />
      </div>
    </form>
  );
}

function spanOf(
  draft: { whole: boolean; from: string; to: string; times: { from: string; to: string } },
  zone: string,
): { from: string; to: string } | null {
  const { whole, from: first, to: last, times } = draft;
  if (first === '' || last === '') return null;
  const from = whole
    ? instantAt({ day: first, minute: 0 }, zone)
    : fromHouseField(`${first}T${times.from}`, zone);
  const to = whole
    ? instantAt({ day: addDays(last, 1), minute: 0 }, zone)
    : fromHouseField(`${last}T${times.to}`, zone);
  return from !== null && to !== null && from < to ? { from, to } : null;
}
