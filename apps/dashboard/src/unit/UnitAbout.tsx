/** A unit's papers: what it is and what its maker says of it. */
import { useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useNavigate } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { unitKinds, unitKindWords, type UnitView } from '../contracts.js';
import { DeleteThis } from '../bin/DeleteThis.js';
import { RecordEditor, type FieldGroup } from '../edit/RecordEditor.js';
import { RecordFacts } from '../edit/RecordFacts.js';
import { Button } from '../kit/index.js';
import { useUnit } from './useUnit.js';
import '../styles/edit.css';

const groups: readonly FieldGroup<UnitView>[] = [
  {
    title: 'The unit',
    specs: [
      { key: 'name', label: 'Model name', kind: 'text', required: true },
      {
        key: 'kind',
        label: 'Kind',
        kind: 'choice',
        required: true,
        options: unitKinds.map((kind) => ({ value: kind, words: unitKindWords[kind] })),
        hint: 'Another kind asks for other measurements.',
      },
      { key: 'serial', label: 'Serial number', kind: 'text', none: 'not noted' },
      { key: 'finish', label: 'Finish', kind: 'text', none: 'not noted' },
      { key: 'ways', label: 'Ways', kind: 'whole' },
      { key: 'massKg', label: 'Mass', kind: 'number', unit: 'kg', hint: 'Above 23 kg two people lift.' },
      {
        key: 'drivers',
        label: 'Drivers',
        kind: 'area',
        hint: 'For instance: 165 mm paper cone, 25 mm dome.',
        none: 'not noted',
      },
      {
        key: 'symmetricCabinet',
        label: 'Left and right half of the cabinet are alike',
        hint: 'Then one horizontal half may be mirrored, when its manifest says so.',
        kind: 'check',
      },
    ],
  },
  {
    title: 'What the maker says',
    specs: [
      { key: 'ratedOhm', label: 'Rated impedance', kind: 'number', unit: 'Ω' },
      {
        key: 'ratedPowerW',
        label: 'Rated input',
        kind: 'number',
        unit: 'W',
        hint: 'Loud tests stay within it.',
      },
      { key: 'ratedSensitivityDb', label: 'Rated sensitivity', kind: 'number', unit: 'dB' },
      { key: 'priceMinor', label: 'Price', kind: 'money', currencyKey: 'currency' },
      {
        key: 'currency',
        label: 'Currency',
        kind: 'text',
        required: true,
        hint: 'Three letters, such as EUR.',
      },
    ],
  },
];

export function UnitAbout() {
  const { unit } = useUnit();
  const client = useQueryClient();
  const go = useNavigate();
  const [editing, setEditing] = useState(false);
  if (editing) {
    return (
      <RecordEditor
        record={unit}
        groups={groups}
        what="This unit"
        send={(changes, version) => api.changeUnit(unit.id, { ...changes, version })}
        reload={() => api.unit(unit.id)}
        onSaved={(saved) => {
          client.setQueryData(keys.unit(unit.id), saved);
          void client.invalidateQueries({ queryKey: keys.loan(unit.loanId) });
          setEditing(false);
        }}
        onLeave={() => setEditing(false)}
      />
    );
  }
  return (
    <div className="stack">
      <div className="row apart">
        <h2>{groups[0]?.title}</h2>
        <Button icon="pencil" onPress={() => setEditing(true)}>
          Change
        </Button>
      </div>
      <RecordFacts record={unit} specs={groups[0]?.specs ?? []} />
      <p>
        <Link to={`/cautions${unit.massKg === null ? '' : `?mass=${unit.massKg}`}`}>
          Before lifting it: how much one person should lift
        </Link>
      </p>
      <section className="section stack">
        <h2>{groups[1]?.title}</h2>
        <RecordFacts
          record={unit}
          specs={(groups[1]?.specs ?? []).filter((spec) => spec.key !== 'currency')}
        />
      </section>
      <section className="section">
        <DeleteThis
          what="this unit"
          name={unit.name}
          goesWith="with all that was measured and heard of it, and its bookings."
          send={() => api.deleteUnit(unit.id, unit.version)}
          onDeleted={() => void go(`/loans/${unit.loanId}`)}
        />
      </section>
    </div>
  );
}
