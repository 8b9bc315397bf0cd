/** How far an analysis is, and what it found wrong with files or data. */
import { useMutation, useQuery } from '@tanstack/react-query';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import { queries } from '../api/queries.js';
import { computationWords, type AnalysisView, type WaitingView } from '../contracts.js';
import { Button, Icon, Instant, Notice, Progress, Refusal } from '../kit/index.js';
import { isFinished } from '../live/patchAnalysis.js';
import { ProblemList } from '../upload/ProblemList.js';
import { count, listWords, minutesWords } from '../words/numbers.js';
import { QualityList } from './QualityList.js';
import { useRefreshUnit } from './useUnit.js';

export function AnalysisState({ analysis }: { analysis: AnalysisView }) {
  if (!isFinished(analysis.state)) {
    return (
      <div className="analysis-coming">
        <output>
          <strong>{computationWords[analysis.state]}</strong>
          {analysis.state === 'queued' && <Waiting analysisId={analysis.id} />}
        </output>
        <Progress value={analysis.progress} label={computationWords[analysis.state]} />
      </div>
    );
  }
  if (analysis.state === 'refused') {
    return (
      <Notice tone="wrong" title="These files could not be read, so nothing was computed.">
        {analysis.problems.length > 0 ? (
          <ProblemList problems={analysis.problems} />
        ) : (
          <p>{analysis.reason}</p>
        )}
      </Notice>
    );
  }
  if (analysis.state === 'quarantined') return <SetAside analysis={analysis} />;
  return <Done analysis={analysis} />;
}

const ASK_AGAIN_MS = 10_000;

function Waiting({ analysisId }: { analysisId: string }) {
  const { data } = useQuery({ ...queries.waiting(analysisId), refetchInterval: ASK_AGAIN_MS });
  return <span className="soft small"> {waitingWords(data)}</span>;
}

function waitingWords(waiting: WaitingView | undefined): string {
  if (waiting && !waiting.computing) return 'Nothing computes just now; it is kept, and starts by itself.';
  if (!waiting || waiting.aboutMinutes === null) return 'It starts as soon as a place is free.';
  return `It starts in about ${minutesWords(waiting.aboutMinutes)}: ${count(waiting.ahead, 'other')} before it.`;
}

function SetAside({ analysis }: { analysis: AnalysisView }) {
  const refresh = useRefreshUnit({ id: analysis.unitId, loanId: analysis.loanId });
  const retrying = useMutation({ mutationFn: () => api.retryAnalysis(analysis.id), onSettled: refresh });
  return (
    <Notice tone="wrong" title="Set aside: it failed several times.">
      {analysis.reason && <p>{analysis.reason}</p>}
      <div>
        <Button busy={retrying.isPending} onPress={() => retrying.mutate()}>
          Try once more
        </Button>
      </div>
      <Refusal error={retrying.error} />
    </Notice>
  );
}

function Done({ analysis }: { analysis: AnalysisView }) {
  const notes = analysis.quality.filter((finding) => finding.severity === 'note').length;
  const found = [
    ...(analysis.blocking > 0 ? [`${analysis.blocking} blocking`] : []),
    ...(analysis.checks > 0 ? [`${analysis.checks} to check`] : []),
    ...(notes > 0 ? [count(notes, 'note')] : []),
  ];
  return (
    <div className="stack">
      <div className="row apart analysis-done" data-grave={analysis.blocking > 0 || undefined}>
        <span>
          <Icon name={analysis.blocking > 0 ? 'blocked' : 'check'} />{' '}
          <strong>{found.length > 0 ? `Data: ${listWords(found)}` : 'The data is sound'}</strong>{' '}
          <span className="small soft">
            computed <Instant at={analysis.finishedAt} relativeOnly />
          </span>
        </span>
        <Link className="button" to={`/units/${analysis.unitId}/results?of=${analysis.id}`}>
          <Icon name="curve" /> See the results
        </Link>
      </div>
      <QualityList analysis={analysis} />
    </div>
  );
}
