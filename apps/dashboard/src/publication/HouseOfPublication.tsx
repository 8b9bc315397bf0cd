/** How the team publishes: the licence of its data, what readers are shown, whether they may answer. */
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { PublicationHouseView } from '../contracts.js';
import { RecordEditor, type FieldGroup } from '../edit/RecordEditor.js';
import { RecordFacts } from '../edit/RecordFacts.js';
import { Answer, Button } from '../kit/index.js';
import '../styles/edit.css';

type House = PublicationHouseView & { readonly id: string };

const groups: readonly FieldGroup<House>[] = [
  {
    title: 'How reviews are published',
    specs: [
      { key: 'licenceName', label: 'Licence of data and figures', kind: 'text', required: true },
      { key: 'licenceUrl', label: 'Where the licence is written', kind: 'link', none: 'nowhere' },
      { key: 'licenceWords', label: 'What readers may do, in your words', kind: 'area', required: true },
      { key: 'showListening', label: 'The record of sealed listening sessions is shown', kind: 'check' },
      { key: 'feedbackOpen', label: 'Readers may answer questions', kind: 'check' },
      {
        key: 'showPreference',
        label: 'Predicted preference is shown',
        kind: 'check',
        hint: 'An estimate with its spread. The method has been patented: the rights are yours to check.',
      },
    ],
  },
];

export function HouseOfPublication({ mayChange }: { mayChange: boolean }) {
  const client = useQueryClient();
  const house = useQuery(queries.publicationHouse());
  const [editing, setEditing] = useState(false);
  const named = (found: PublicationHouseView): House => ({ ...found, id: 'house' });
  return (
    <section className="section stack" aria-label="How reviews are published">
      <Answer query={house} what="how the team publishes">
        {(found) =>
          editing ? (
            <RecordEditor
              record={named(found)}
              groups={groups}
              what="How reviews are published"
              send={async (changes, version) =>
                named(await api.changePublicationHouse({ ...changes, version }))
              }
              reload={async () => named(await api.publicationHouse())}
              onSaved={(saved) => {
                client.setQueryData(keys.publicationHouse, saved);
                setEditing(false);
              }}
              onLeave={() => setEditing(false)}
            />
          ) : (
            <>
              <div className="row apart">
                <h2>{groups[0]?.title}</h2>
                {mayChange && (
                  <Button icon="pencil" onPress={() => setEditing(true)}>
                    Change
                  </Button>
                )}
              </div>
              <RecordFacts record={named(found)} specs={groups[0]?.specs ?? []} />
            </>
          )
        }
      </Answer>
    </section>
  );
}
