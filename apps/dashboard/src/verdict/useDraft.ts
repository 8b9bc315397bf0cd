/** The draft of the loan one is on, open as long as the page is. */
import { useEffect, useState, useSyncExternalStore } from 'react';
import { useHere } from '../app/session.js';
import { useLive } from '../live/LiveProvider.js';
import { DraftLink, type DraftLinkView } from './draftLink.js';

const nothing: DraftLinkView = { state: 'opening', message: '', ready: false, draftVersion: null };
const never = () => () => undefined;
const none = () => nothing;

export function useDraft(loanId: string): { link: DraftLink | null; view: DraftLinkView } {
  const { person } = useHere();
  const { socket } = useLive();
  const [link, setLink] = useState<DraftLink | null>(null);
  useEffect(() => {
    if (!socket) return;
    const opened = new DraftLink(loanId, person.id, socket);
    // The link is made by the effect, for it ends with it.
    // oxlint-disable-next-line react/set-state-in-effect
    setLink(opened);
    return () => {
      opened.leave();
      setLink(null);
    };
  }, [socket, loanId, person.id]);
  const view = useSyncExternalStore(link?.subscribe ?? never, link?.view ?? none);
  return { link, view };
}

const textNever = () => () => undefined;

/** The words as they stand, for what is worked out from them. */
export function useDraftText(link: DraftLink | null): string {
  return useSyncExternalStore(
    link
      ? (changed) => {
          link.text.observe(changed);
          return () => link.text.unobserve(changed);
        }
      : textNever,
    () => link?.text.toJSON() ?? '',
  );
}
