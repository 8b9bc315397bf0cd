/** Publishing a loan's review: what stands in the way, previews, the release, corrections. */
import { useQuery } from '@tanstack/react-query';
import { queries } from '../api/queries.js';
import type { LoanPublicationView } from '../contracts.js';
import { Answer, Icon, Instant, Notice } from '../kit/index.js';
import { useLoan } from '../loans/useLoan.js';
import { BundleList } from './BundleList.js';
import { PublishForm } from './PublishForm.js';
import '../styles/loans.css';
import '../styles/publication.css';

export function LoanPublication() {
  const loan = useLoan();
  const publication = useQuery(queries.publication(loan.id));
  return (
    <Answer query={publication} what="the publication">
      {(found) => <Parts found={found} />}
    </Answer>
  );
}

function Parts({ found }: { found: LoanPublicationView }) {
  const active = found.publications.find(({ state }) => state === 'scheduled' || state === 'building');
  const waits = found.publications.some((one) => one.purpose === 'release' && one === active);
  return (
    <div className="publication">
      <section className="stack" aria-labelledby="publish">
        <h2 id="publish">{found.correction ? 'Publish a correction' : 'Publish the review'}</h2>
        <ul className="conditions">
          {found.conditions.map((condition) => (
            <li key={condition.code} data-met={condition.met || undefined}>
              <Icon name={condition.met ? 'check' : 'cross'} size={17} />
              <span>
                <span className="hidden">{condition.met ? 'Met: ' : 'Not met: '}</span>
                {condition.sentence}
              </span>
            </li>
          ))}
        </ul>
        {found.embargoUntil && (
          <p className="small soft">
            Embargo: <Instant at={found.embargoUntil} />. It is tested again at the moment of publishing.
          </p>
        )}
        {waits ? (
          <Notice title="A publication is on its way.">
            <p>It stands among the bundles; call it off there to ask for another.</p>
          </Notice>
        ) : (
          <PublishForm key={`${found.loanId} ${found.correction}`} found={found} />
        )}
      </section>
      <BundleList found={found} />
    </div>
  );
}
