/** One thing on the checklist: how many are here, and a word about it. */
import { useEffect, useMemo, useState } from 'react';
import { api } from '../api/api.js';
import type { AccessoryView, Moment } from '../contracts.js';
import { IconButton } from '../kit/index.js';
import { AccessoryActs } from './AccessoryActs.js';
import { useRefreshLoan } from '../loans/useLoan.js';
import { say } from '../live/toasts.js';
import { refusalOf } from '../words/refusals.js';
import { LatestOnly } from './LatestOnly.js';
import { countOf, expectedOf } from './tally.js';

interface Entry {
  readonly count: number | null;
  readonly note: string;
}

export function AccessoryLine({
  item,
  moment,
  loanId,
}: {
  item: AccessoryView;
  moment: Moment;
  loanId: string;
}) {
  const [entry, put, keepNote] = useEntry(item, moment, loanId);
  const expected = expectedOf(item, moment);
  const state = entry.count === null ? 'open' : entry.count < expected ? 'short' : 'all';
  return (
    <li className="accessory" data-state={state}>
      <div className="accessory-name">
        <strong>{item.name}</strong>
        <span className="small soft">
          {moment === 'arrival' ? 'promised' : 'came'}: <span className="num">{expected}</span>
        </span>
      </div>
      <fieldset className="accessory-count">
        <legend className="hidden">How many of {item.name}</legend>
        <IconButton
          icon="minus"
          label={`One ${item.name} fewer`}
          isDisabled={entry.count === null || entry.count === 0}
          onPress={() => put({ ...entry, count: Math.max(0, (entry.count ?? 0) - 1) })}
        />
        <output className="num" aria-live="polite">
          {entry.count === null ? '–' : entry.count}
          <span className="hidden">{entry.count === null ? 'not counted' : ` of ${expected}`}</span>
        </output>
        <IconButton
          icon="plus"
          label={`One ${item.name} more`}
          onPress={() => put({ ...entry, count: (entry.count ?? 0) + 1 })}
        />
        <IconButton
          icon="check"
          label={`All ${expected} of ${item.name} are here`}
          isDisabled={entry.count === expected}
          onPress={() => put({ ...entry, count: expected })}
        />
      </fieldset>
      <input
        className="accessory-note"
        aria-label={`Note on ${item.name}`}
        placeholder={state === 'short' ? 'What is missing or damaged?' : 'Note'}
        value={entry.note}
        onChange={(event) => keepNote(event.target.value)}
        onBlur={() => put(entry)}
      />
      <AccessoryActs item={item} moment={moment} loanId={loanId} short={state === 'short'} />
    </li>
  );
}

/** What the line shows at once, and what is sent behind it. */
function useEntry(item: AccessoryView, moment: Moment, loanId: string) {
  const refresh = useRefreshLoan(loanId);
  const known: Entry = {
    count: countOf(item, moment),
    note: moment === 'arrival' ? item.arrivalNote : item.returnNote,
  };
  const [typed, setTyped] = useState<Entry | null>(null);
  const saver = useMemo(
    () =>
      new LatestOnly<Entry, AccessoryView>({
        version: item.version,
        send: (next, version) =>
          api.changeAccessory(
            item.id,
            moment === 'arrival'
              ? { version, arrivedCount: next.count, arrivalNote: next.note }
              : { version, returnedCount: next.count, returnNote: next.note },
          ),
        done: () => void refresh().then(() => setTyped(null)),
        failed: (error) => {
          setTyped(null);
          const refusal = refusalOf(error);
          say({ tone: 'late', title: `${item.name}: not kept`, text: refusal.remedy ?? refusal.message });
          void refresh();
        },
      }),
    // One saver for the line's life; newer versions are told to it below.
    // oxlint-disable-next-line react/exhaustive-deps
    [item.id, moment],
  );
  useEffect(() => saver.sawVersion(item.version), [saver, item.version]);
  const entry = typed ?? known;
  const put = (next: Entry) => {
    if (next.count === known.count && next.note === known.note && !saver.busy) {
      setTyped(null);
      return;
    }
    setTyped(next);
    void saver.put(next);
  };
  const keepNote = (note: string) => setTyped({ ...entry, note });
  return [entry, put, keepNote] as const;
}
