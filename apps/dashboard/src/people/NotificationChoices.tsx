/** How one is told of deadlines: on the dashboard always, by e-mail and webhook as chosen, not at night. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState, type FormEvent } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import {
  channels,
  deadlineKinds,
  deadlineWords,
  type Channel,
  type DeliveryView,
  type NotificationsView,
} from '../contracts.js';
import { isStale } from '../edit/useVersionedSave.js';
import { Answer, Button, CheckField, CopyText, Overtaken, Refusal, TextField } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { count } from '../words/numbers.js';
import { fieldMessage, refusalOf } from '../words/refusals.js';
import { Deliveries } from './Deliveries.js';
import { WebhookKey } from './WebhookKey.js';
import '../styles/notices.css';

const channelWords: Readonly<Record<Channel, string>> = { email: 'E-mail', webhook: 'Webhook' };

const LOOK_AGAIN_MS = 2000;
/** Sent in a moment; what failed once is tried again much later. */
const isOnItsWay = ({ state, attempts }: DeliveryView): boolean =>
  state === 'sending' || (state === 'waiting' && attempts === 0);

export function NotificationChoices() {
  const notifications = useQuery({
    ...queries.notifications(),
    refetchInterval: ({ state }) => (state.data?.recent.some(isOnItsWay) ? LOOK_AGAIN_MS : false),
  });
  return (
    <section className="section stack" aria-labelledby="told">
      <h2 id="told">How you are told</h2>
      <Answer query={notifications} what="your choices">
        {(view) => (
          <>
            <Choices view={view} />
            <Deliveries view={view} />
          </>
        )}
      </Answer>
    </section>
  );
}

interface Draft {
  readonly channels: NotificationsView['channels'];
  readonly quiet: boolean;
  readonly from: string;
  readonly to: string;
  readonly webhookUrl: string;
}
const draftOf = (view: NotificationsView): Draft => ({
  channels: view.channels,
  quiet: view.quiet !== null,
  from: view.quiet?.from ?? '22:00',
  to: view.quiet?.to ?? '07:00',
  webhookUrl: view.webhookUrl ?? '',
});

const asked = (draft: Draft, version: number) => ({
  version,
  channels: draft.channels,
  quiet: draft.quiet ? { from: draft.from, to: draft.to } : null,
  webhookUrl: draft.webhookUrl.trim() === '' ? null : draft.webhookUrl.trim(),
});

/** A choice in short, for two versions side by side. */
function inShort({ channels: chosen, quiet, from, to, webhookUrl }: Draft): string {
  const of = (channel: Channel) => deadlineKinds.filter((kind) => chosen[kind].includes(channel)).length;
  const ways = channels.map((channel) => `${channelWords[channel]}: ${count(of(channel), 'kind')}`);
  const night = quiet ? `quiet ${from} to ${to}` : 'no quiet hours';
  return [...ways, night, webhookUrl === '' ? 'no webhook address' : webhookUrl].join('; ');
}

function Choices({ view }: { view: NotificationsView }) {
  const client = useQueryClient();
  const [base, setBase] = useState(view.version);
  const [draft, setDraft] = useState(() => draftOf(view));
  const [secret, setSecret] = useState<string | null>(null);
  const set = (part: Partial<Draft>) => setDraft((was) => ({ ...was, ...part }));
  const take = (next: NotificationsView) => {
    const { webhookSecret, ...rest } = next;
    client.setQueryData(keys.notifications, rest);
    setBase(next.version);
    setDraft(draftOf(next));
    if (webhookSecret !== undefined) setSecret(webhookSecret);
    else if (next.webhookUrl === null) setSecret(null);
  };
  const saving = useMutation({
    mutationFn: (version: number) => api.changeNotifications(asked(draft, version)),
    onSuccess: (next) => {
      take(next);
      say({ tone: 'good', title: 'Kept', text: 'You will be told as you chose.' });
    },
    onError: (error) =>
      isStale(error) ? client.invalidateQueries({ queryKey: keys.notifications }) : undefined,
  });
  const stale = isStale(saving.error);
  const refusal = saving.error && !stale ? refusalOf(saving.error) : null;
  const submit = (event: FormEvent) => {
    event.preventDefault();
    saving.mutate(base);
  };
  return (
    <form className="stack" onSubmit={submit}>
      <p className="soft">Every deadline appears on the dashboard. Besides, as you choose:</p>
      <ChoiceTable view={view} draft={draft} set={set} />
      {!view.emailWorks && (
        <p className="small soft">
          This house can’t send e-mail yet: whoever runs the server sets up the way out.
        </p>
      )}
      <QuietAndWebhook
        draft={draft}
        set={set}
        secret={secret}
        wrongUrl={fieldMessage(refusal, 'webhookUrl')}
      />
      {view.webhookUrl !== null && <WebhookKey view={view} onRenewed={take} />}
      {stale ? (
        <Overtaken
          what="your choices (in another window)"
          theirs={inShort(draftOf(view))}
          mine={inShort(draft)}
          busy={saving.isPending}
          onTheirs={() => {
            saving.reset();
            take(view);
          }}
          onMine={() => saving.mutate(view.version)}
        />
      ) : (
        <div className="row">
          <Button type="submit" look="main" busy={saving.isPending}>
            Save the choices
          </Button>
        </div>
      )}
      <Refusal marked={refusal?.fields !== undefined} error={stale ? null : saving.error} />
    </form>
  );
}

function QuietAndWebhook(props: {
  draft: Draft;
  set: (part: Partial<Draft>) => void;
  secret: string | null;
  wrongUrl: string | undefined;
}) {
  const { draft, set, secret } = props;
  return (
    <div className="form narrow">
      <div className="field-wide">
        <CheckField
          label="Quiet hours"
          hint="On your own clock. What falls into them is sent at their end."
          checked={draft.quiet}
          onChange={(quiet) => set({ quiet })}
        />
      </div>
      {draft.quiet && (
        <>
          <TextField
            label="Quiet from"
            type="time"
            required
            value={draft.from}
            onChange={(from) => set({ from })}
          />
          <TextField
            label="Quiet until"
            type="time"
            required
            value={draft.to}
            onChange={(to) => set({ to })}
          />
        </>
      )}
      <TextField
        wide
        label="Webhook address"
        type="url"
        placeholder="https://"
        hint="Another program of yours that takes each message as signed JSON. Left empty, nothing is sent that way."
        value={draft.webhookUrl}
        error={props.wrongUrl}
        onChange={(webhookUrl) => set({ webhookUrl })}
      />
      {secret !== null && (
        <CopyText
          label="The key of its signatures"
          hint="Shown only now. Another address gets another key."
          value={secret}
        />
      )}
    </div>
  );
}

function ChoiceTable(props: { view: NotificationsView; draft: Draft; set: (part: Partial<Draft>) => void }) {
  const { draft, set } = props;
  const choose = (kind: (typeof deadlineKinds)[number], channel: Channel, on: boolean) => {
    const chosen = draft.channels[kind];
    const next = on ? [...chosen, channel] : chosen.filter((one) => one !== channel);
    set({ channels: { ...draft.channels, [kind]: next } });
  };
  return (
    <table className="list-table choice-table">
      <thead>
        <tr>
          <th scope="col">What happens</th>
          <th scope="col">Dashboard</th>
          {channels.map((channel) => (
            <th scope="col" key={channel}>
              {channelWords[channel]}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {deadlineKinds.map((kind) => (
          <tr key={kind}>
            <th scope="row">{deadlineWords[kind]}</th>
            <td className="small soft">always</td>
            {channels.map((channel) => (
              <td key={channel}>
                <input
                  type="checkbox"
                  aria-label={`${deadlineWords[kind]}: by ${channelWords[channel].toLowerCase()}`}
                  checked={draft.channels[kind].includes(channel)}
                  onChange={(event) => choose(kind, channel, event.target.checked)}
                />
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
