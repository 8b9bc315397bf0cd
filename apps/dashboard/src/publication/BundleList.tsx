/** The bundles of a review: being built, waiting, for the team to look at, or out. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { LoanPublicationView, PublicationState, PublicationView } from '../contracts.js';
import { Button, Icon, Instant, Progress, Refusal } from '../kit/index.js';
import { bytesWords } from '../words/numbers.js';

const stateWords: Readonly<Record<PublicationState, string>> = {
  scheduled: 'Waits for the embargo',
  building: 'Being built',
  ready: 'Preview, not published',
  published: 'Published',
  superseded: 'Superseded',
  refused: 'Not published',
  cancelled: 'Called off',
};

export function BundleList({ found }: { found: LoanPublicationView }) {
  const client = useQueryClient();
  const previewing = useMutation({
    mutationFn: () => api.previewBundle(found.loanId, { version: found.loanVersion }),
    onSuccess: (now) => client.setQueryData(keys.publication(found.loanId), now),
    onError: () => void client.invalidateQueries({ queryKey: keys.publication(found.loanId) }),
  });
  return (
    <section className="stack" aria-labelledby="bundles">
      <div className="row apart">
        <h2 id="bundles">Bundles</h2>
        <Button icon="plus" busy={previewing.isPending} onPress={() => previewing.mutate()}>
          Build a preview
        </Button>
      </div>
      <p className="small soft">
        One ZIP: a page that works without a network, figures, data, and hashes to check them by. Whoever
        downloads a preview has seen the data of its units.
        {found.hasFolder && ' What is published is also written to the folder the server was given.'}
      </p>
      <Refusal error={previewing.error} />
      {found.publications.length === 0 && <p className="soft">None built yet.</p>}
      <ul className="lines">
        {found.publications.map((publication) => (
          <Bundle key={publication.id} publication={publication} />
        ))}
      </ul>
    </section>
  );
}

function Bundle({ publication }: { publication: PublicationView }) {
  const client = useQueryClient();
  const cancelling = useMutation({
    mutationFn: () => api.cancelPublication(publication.id, { version: publication.version }),
    onSettled: () => client.invalidateQueries({ queryKey: keys.publication(publication.loanId) }),
  });
  const { state, number } = publication;
  const building = state === 'building';
  return (
    <li className="stack bundle-line">
      <div>
        <strong>
          {stateWords[state]}
          {number !== null && `, version ${number}`}
        </strong>
        <p className="small soft">
          {publication.title}, {publication.askedBy},{' '}
          <Instant at={publication.publishedAt ?? publication.askedAt} />
        </p>
        {publication.publishAfter && state === 'scheduled' && (
          <p className="small">
            Goes out <Instant at={publication.publishAfter} />
          </p>
        )}
        {publication.changeNote !== '' && <p className="small">{publication.changeNote}</p>}
        {publication.overrideReason && (
          <p className="small">Against open points: {publication.overrideReason}</p>
        )}
        {publication.reason && <p className="small field-error">{publication.reason}</p>}
        {publication.placeFault && (
          <p className="small field-error">Not written to the folder: {publication.placeFault}</p>
        )}
      </div>
      {building && <Progress value={publication.progress} label="Building the bundle" />}
      <div className="row">
        {publication.address && (
          <Link
            className="button"
            to={new URL(publication.address, window.location.href).pathname + versionOf(publication)}
          >
            Read it as readers do
          </Link>
        )}
        {publication.bundleUrl && (
          <a className="button button-quiet" href={publication.bundleUrl} download>
            <Icon name="download" size={16} /> ZIP ({bytesWords(publication.bundleBytes ?? 0)})
          </a>
        )}
        {(building || state === 'scheduled') && (
          <Button look="quiet" busy={cancelling.isPending} onPress={() => cancelling.mutate()}>
            Call it off
          </Button>
        )}
      </div>
      <Refusal error={cancelling.error} />
    </li>
  );
}

const versionOf = ({ state, number }: PublicationView): string =>
  state === 'superseded' && number !== null ? `?version=${number}` : '';
