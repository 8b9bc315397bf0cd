/** Whether what was written is on this device only or on the server too. */
import { Icon } from '../kit/index.js';
import type { KeptState } from './useKeptSession.js';

const words: Readonly<Record<KeptState, string>> = {
  sent: 'Sent: on the server',
  sending: 'Kept here, sending…',
  'kept-here': 'Kept here, not sent yet: it goes as soon as there is a network',
  refused: 'Kept here; the server does not take it',
  sealed: 'Kept here; the session was sealed elsewhere',
  'not-kept': 'This device keeps nothing: do not close this page before it is sent',
};

export function KeptMark({ state, why }: { state: KeptState; why?: string | undefined }) {
  return (
    <output className="small kept-mark" data-state={state}>
      <Icon name={state === 'sent' ? 'check' : state === 'sending' ? 'upload' : 'file'} size={15} />{' '}
      {words[state]}
      {state === 'refused' && why ? `: ${why}` : ''}
    </output>
  );
}
