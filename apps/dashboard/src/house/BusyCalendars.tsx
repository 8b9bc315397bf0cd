/** Busy times from a calendar file: for a person or a place, replaced when the same calendar is read again. */
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { BUSY_FILE_BYTES, type HouseView } from '../contracts.js';
import { Button, Field, IconButton, Instant, Notice, Refusal, SelectField, TextField } from '../kit/index.js';
import { bytesWords, count } from '../words/numbers.js';
import { subjectAsk, subjectName, subjectOptions, type Subject } from './subjects.js';
import { useHouseSave } from './useHouseSave.js';

export function BusyCalendars({ house }: { house: HouseView }) {
  const removing = useHouseSave((id: string) => api.removeBusy(id));
  return (
    <section className="section stack" aria-labelledby="busy">
      <h2 id="busy">Busy times from a calendar</h2>
      <p className="small soft">
        An .ics file (iCalendar) exported from any calendar. Only when it is busy is kept, no titles. The same
        name again replaces what it brought.
      </p>
      <ul className="lines" hidden={house.busyCalendars.length === 0}>
        {house.busyCalendars.map((calendar) => (
          <li key={calendar.id} className="row apart">
            <div>
              <strong>{calendar.name}</strong> <span className="soft">of {subjectName(house, calendar)}</span>
              <div className="small soft">
                {count(calendar.spans, 'busy time')}, read <Instant at={calendar.importedAt} relativeOnly />
              </div>
            </div>
            <IconButton
              icon="cross"
              label={`Forget ${calendar.name} of ${subjectName(house, calendar)}`}
              onPress={() => removing.mutate(calendar.id)}
            />
          </li>
        ))}
      </ul>
      <Refusal error={removing.error} />
      <ReadCalendar house={house} />
    </section>
  );
}

function ReadCalendar({ house }: { house: HouseView }) {
  const options = subjectOptions(house);
  const [subject, setSubject] = useState<Subject | undefined>(options[0]?.value);
  const [name, setName] = useState('');
  const [file, setFile] = useState<File | null>(null);
  const reading = useHouseSave(async (ask: { subject: Subject; file: File }) =>
    api.importBusy({
      ...subjectAsk(ask.subject),
      name: name.trim(),
      calendar: await ask.file.text(),
    }),
  );
  const tooBig = file !== null && file.size > BUSY_FILE_BYTES;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (file && subject && !tooBig) reading.mutate({ subject, file });
  };
  return (
    <form className="form" onSubmit={submit}>
      {subject && <SelectField label="Whose" value={subject} options={options} onChange={setSubject} />}
      <TextField
        label="Name of the calendar"
        required
        value={name}
        placeholder="Such as Work"
        onChange={setName}
      />
      <Field
        wide
        label="File"
        error={tooBig ? `${bytesWords(file.size)}: at most ${bytesWords(BUSY_FILE_BYTES)}.` : undefined}
      >
        {({ id, describedBy }) => (
          <input
            id={id}
            type="file"
            accept=".ics,text/calendar"
            required
            aria-describedby={describedBy}
            onChange={(event) => setFile(event.target.files?.[0] ?? null)}
          />
        )}
      </Field>
      <div className="form-foot">
        <Button type="submit" busy={reading.isPending}>
          Read it
        </Button>
      </div>
      <div className="field-wide stack">
        <Refusal error={reading.error} />
        {reading.data && (
          <Notice icon="check" alert title={`${count(reading.data.spans, 'busy time')} read.`}>
            {reading.data.passedOver.length > 0 && (
              <>
                <p>Passed over:</p>
                <ul>
                  {reading.data.passedOver.map(({ line, why }) => (
                    <li key={line}>
                      line {line}: {why}
                    </li>
                  ))}
                </ul>
              </>
            )}
          </Notice>
        )}
      </div>
    </form>
  );
}
