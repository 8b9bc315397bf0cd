/** For the owner: results that an earlier version of the method gave, and bringing them up to date. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import type { CampaignsView, CampaignView } from '../contracts.js';
import { Button, Dialog, Instant, Progress, Refusal } from '../kit/index.js';
import { count } from '../words/numbers.js';
import { archiveQueries } from './archiveQueries.js';
import { campaignShare, campaignWords } from './archiveWords.js';

export function CampaignStrip() {
  const campaigns = useQuery(archiveQueries.campaigns());
  if (campaigns.isError) return <Refusal error={campaigns.error} />;
  if (!campaigns.data) return null;
  const running = campaigns.data.campaigns.find((campaign) => campaign.state === 'running');
  if (running) return <Running campaign={running} />;
  return <Resting view={campaigns.data} />;
}

function Running({ campaign }: { campaign: CampaignView }) {
  const [asking, setAsking] = useState(false);
  const cancel = useCampaignAct(
    () => api.cancelCampaign(campaign.id),
    () => setAsking(false),
  );
  return (
    <section className="archive-campaign stack" aria-label="Recomputing the archive">
      <div className="row apart">
        <p>
          <strong>Recomputing with method version {campaign.algorithmVersion}.</strong>{' '}
          {campaignWords(campaign)}.
        </p>
        <Button onPress={() => setAsking(true)}>Stop</Button>
      </div>
      <Progress value={campaignShare(campaign)} label="Sets gone through" />
      <p className="small soft">
        Started by {campaign.startedBy} <Instant at={campaign.createdAt} relativeOnly />. Fresh measurements
        go first; earlier results stand until the new ones are there.
      </p>
      <Dialog title="Stop recomputing?" open={asking} onClose={() => setAsking(false)}>
        <p>What is recomputed stays. The rest keeps its earlier results; a later start takes it up again.</p>
        <Refusal error={cancel.error} />
        <div className="row">
          <Button look="main" busy={cancel.isPending} onPress={() => cancel.mutate()}>
            Stop recomputing
          </Button>
          <Button onPress={() => setAsking(false)}>Let it go on</Button>
        </div>
      </Dialog>
    </section>
  );
}

function Resting({ view }: { view: CampaignsView }) {
  const [asking, setAsking] = useState(false);
  const start = useCampaignAct(
    () => api.startCampaign(),
    () => setAsking(false),
  );
  const last = view.campaigns[0];
  if (view.outdated === 0 && !last) return null;
  const sets = count(view.outdated, 'set');
  return (
    <section className="archive-campaign stack" aria-label="Recomputing the archive">
      {view.outdated > 0 && (
        <div className="row apart">
          <p>
            <strong>{sets}</strong> {view.outdated === 1 ? 'has its result' : 'have their results'} from
            another version of the method than today’s {view.algorithmVersion}.
          </p>
          <Button onPress={() => setAsking(true)}>{`Recompute ${sets}`}</Button>
        </div>
      )}
      {last && <Last campaign={last} />}
      <Dialog title={`Recompute ${sets}?`} open={asking} onClose={() => setAsking(false)}>
        <p>
          The kept files are analysed anew in the background, behind fresh measurements. Earlier results stay
          readable, and numbers and findings may change. Nobody’s blindness ends by it.
        </p>
        <Refusal error={start.error} />
        <div className="row">
          <Button look="main" busy={start.isPending} onPress={() => start.mutate()}>
            Recompute
          </Button>
          <Button onPress={() => setAsking(false)}>Not now</Button>
        </div>
      </Dialog>
    </section>
  );
}

function Last({ campaign }: { campaign: CampaignView }) {
  const [open, setOpen] = useState(false);
  return (
    <div className="small soft">
      <p>
        {campaign.state === 'cancelled' ? 'Stopped' : 'Finished'}{' '}
        <Instant at={campaign.finishedAt} relativeOnly />, version {campaign.algorithmVersion}:{' '}
        {campaignWords(campaign)}.
      </p>
      {campaign.failed > 0 && (
        <details onToggle={(event) => setOpen(event.currentTarget.open)}>
          <summary>What could not be recomputed</summary>
          {open && <Failures id={campaign.id} />}
        </details>
      )}
    </div>
  );
}

function Failures({ id }: { id: string }) {
  const detail = useQuery(archiveQueries.campaign(id));
  if (detail.isError) return <Refusal error={detail.error} />;
  return (
    <ul className="lines">
      {detail.data?.failures.map((failure) => (
        <li key={failure.setId}>
          <Link to={`/units/${failure.unitId}`}>{failure.unitName}</Link>, {failure.setName}: {failure.reason}
        </li>
      ))}
    </ul>
  );
}

function useCampaignAct(act: () => Promise<unknown>, done: () => void) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: act,
    onSuccess: done,
    // Also when it was refused: somebody else may have started or ended it.
    onSettled: () => client.invalidateQueries({ queryKey: ['campaigns'] }),
  });
}
