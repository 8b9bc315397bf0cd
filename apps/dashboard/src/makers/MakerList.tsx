/** Who lends. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { Link, useNavigate } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { Answer, Button, Dialog, InventedMark, PageHead, Refusal, TextField } from '../kit/index.js';
import { count } from '../words/numbers.js';

export function MakerList() {
  const makers = useQuery(queries.makers());
  const [adding, setAdding] = useState(false);
  return (
    <>
      <PageHead
        title="Makers"
        acts={
          <Button look="main" onPress={() => setAdding(true)}>
            Add a maker
          </Button>
        }
      />
      <Answer query={makers} what="the makers">
        {(found) =>
          found.length === 0 ? (
            <p className="empty">No maker yet.</p>
          ) : (
            <ul className="lines">
              {found.map((maker) => (
                <li key={maker.id} className="row apart">
                  <span>
                    <Link to={`/makers/${maker.id}`}>
                      <strong>{maker.name}</strong>
                    </Link>{' '}
                    {maker.invented && <InventedMark />}
                  </span>
                  <span className="small soft">
                    {count(maker.loanCount, 'loan')}, {count(maker.contacts.length, 'contact')}
                  </span>
                </li>
              ))}
            </ul>
          )
        }
      </Answer>
      {adding && <AddMakerDialog onClose={() => setAdding(false)} />}
    </>
  );
}

function AddMakerDialog({ onClose }: { onClose: () => void }) {
  const client = useQueryClient();
  const go = useNavigate();
  const [name, setName] = useState('');
  const adding = useMutation({
    mutationFn: () => api.addMaker({ name }),
    onSuccess: (maker) => {
      void client.invalidateQueries({ queryKey: keys.makers });
      void go(`/makers/${maker.id}`);
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    adding.mutate();
  };
  return (
    <Dialog title="Add a maker" open onClose={onClose}>
      <form className="stack" onSubmit={submit}>
        <TextField label="Name" required focusFirst value={name} onChange={setName} />
        <Refusal error={adding.error} />
        <div className="row">
          <Button type="submit" look="main" busy={adding.isPending}>
            Add
          </Button>
        </div>
      </form>
    </Dialog>
  );
}
