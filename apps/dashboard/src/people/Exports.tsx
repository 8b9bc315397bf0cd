/** Taking one's data home; the owner also everything the team has. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { isOwner, useHere } from '../app/session.js';
import type { ExportScope, ExportView } from '../contracts.js';
import { Answer, Button, Instant, Refusal } from '../kit/index.js';
import { bytesWords } from '../words/numbers.js';

const scopeWords: Readonly<Record<ExportScope, string>> = {
  own: 'Your data',
  team: 'Everything of the team',
};

export function Exports() {
  const { person } = useHere();
  const client = useQueryClient();
  const exports = useQuery(queries.exports());
  const asking = useMutation({
    mutationFn: (scope: ExportScope) => api.askExport(scope),
    onSuccess: (now) => client.setQueryData(keys.exports, now),
  });
  const running = exports.data?.some(({ state }) => state === 'running') ?? false;
  return (
    <section className="section stack" aria-labelledby="exports">
      <h2 id="exports">Take your data home</h2>
      <p className="small soft">
        One ZIP in open formats (Markdown, JSON, CSV, iCalendar) with the files you brought as they came. It
        is made in the background and can be downloaded for seven days, by you alone.
      </p>
      <div className="row">
        <Button busy={asking.isPending} isDisabled={running} onPress={() => asking.mutate('own')}>
          Make an export of your data
        </Button>
        {isOwner(person) && (
          <Button busy={asking.isPending} isDisabled={running} onPress={() => asking.mutate('team')}>
            Export everything of the team
          </Button>
        )}
      </div>
      <Refusal error={asking.error} />
      <Answer query={exports} what="your exports">
        {(found) =>
          found.length === 0 ? null : (
            <ul className="lines">
              {found.map((each) => (
                <ExportLine key={each.id} one={each} />
              ))}
            </ul>
          )
        }
      </Answer>
    </section>
  );
}

function ExportLine({ one }: { one: ExportView }) {
  return (
    <li className="row apart">
      <span>
        <strong>{scopeWords[one.scope]}</strong>{' '}
        <span className="small soft">
          asked for <Instant at={one.askedAt} />
        </span>
        {one.state === 'failed' && <span className="field-error"> It could not be made: {one.reason}</span>}
      </span>
      {one.state === 'running' && <span className="small soft">is being made</span>}
      {one.state === 'done' && (
        <span className="row">
          <span className="small soft">
            {bytesWords(one.bytes ?? 0)}, there until <Instant at={one.expiresAt} />
          </span>
          <a className="button" href={`/api/exports/${one.id}/file`} download>
            Download<span className="hidden"> {scopeWords[one.scope].toLowerCase()}</span>
          </a>
        </span>
      )}
    </li>
  );
}
