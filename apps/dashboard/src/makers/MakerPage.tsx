/** One maker: how to reach them, and what they have lent. */
import { useInfiniteQuery, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useNavigate, useParams } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { stageWords, type MakerView } from '../contracts.js';
import { DeleteThis } from '../bin/DeleteThis.js';
import { RecordEditor, type FieldGroup } from '../edit/RecordEditor.js';
import { RecordFacts } from '../edit/RecordFacts.js';
import { Answer, Button, Day, InventedMark, More, PageHead } from '../kit/index.js';
import { Contacts } from './Contacts.js';
import '../styles/edit.css';

const groups: readonly FieldGroup<MakerView>[] = [
  {
    title: 'The maker',
    specs: [
      { key: 'name', label: 'Name', kind: 'text', required: true },
      { key: 'website', label: 'Website', kind: 'link', none: 'none' },
      { key: 'notes', label: 'Notes', kind: 'area', none: 'none' },
    ],
  },
];

export function MakerPage() {
  const { makerId = '' } = useParams();
  const maker = useQuery(queries.maker(makerId));
  return (
    <Answer query={maker} what="this maker">
      {(found) => <MakerFound maker={found} />}
    </Answer>
  );
}

function MakerFound({ maker }: { maker: MakerView }) {
  const client = useQueryClient();
  const go = useNavigate();
  const [editing, setEditing] = useState(false);
  const keep = (saved: MakerView) => {
    client.setQueryData(keys.maker(maker.id), saved);
    void client.invalidateQueries({ queryKey: keys.makers });
    setEditing(false);
  };
  return (
    <>
      <PageHead
        title={maker.name}
        above={{ to: '/makers', words: 'Makers' }}
        beneath={maker.invented ? <InventedMark /> : undefined}
        acts={
          !editing && (
            <Button icon="pencil" onPress={() => setEditing(true)}>
              Change
            </Button>
          )
        }
      />
      {editing ? (
        <RecordEditor
          record={maker}
          groups={groups}
          what="This maker"
          send={(changes, version) => api.changeMaker(maker.id, { ...changes, version })}
          reload={() => api.maker(maker.id)}
          onSaved={keep}
          onLeave={() => setEditing(false)}
        />
      ) : (
        <RecordFacts record={maker} specs={(groups[0]?.specs ?? []).filter((spec) => spec.key !== 'name')} />
      )}
      <Contacts maker={maker} onSaved={keep} />
      <MakerLoans makerId={maker.id} />
      <section className="section">
        <DeleteThis
          what="this maker"
          name={maker.name}
          goesWith="with its contacts. A maker with loans stays."
          send={() => api.deleteMaker(maker.id, maker.version)}
          onDeleted={() => void go('/makers')}
        />
      </section>
    </>
  );
}

function MakerLoans({ makerId }: { makerId: string }) {
  const loans = useInfiniteQuery(queries.loans({ makerId }));
  return (
    <section className="section stack">
      <h2>Loans</h2>
      <Answer query={loans} what="the loans">
        {(found) => {
          const own = found.pages.flat();
          if (own.length === 0) return <p className="soft">None yet.</p>;
          return (
            <ul className="lines">
              {own.map((loan) => (
                <li key={loan.id} className="row apart">
                  <Link to={`/loans/${loan.id}`}>{loan.title}</Link>
                  <span className="small soft">
                    {stageWords[loan.stage]}, back by <Day day={loan.returnBy} none="no date agreed" />
                  </span>
                </li>
              ))}
            </ul>
          );
        }}
      </Answer>
      <More query={loans} words="More loans" />
    </section>
  );
}
