/** Wherever one is in the house: what this device still has is sent when the page opens and when the network is back. */
import { useEffect } from 'react';
import { useHere } from '../app/session.js';
import { sendEveryKept } from './sendKept.js';

export function KeptSender() {
  const { id } = useHere().person;
  useEffect(() => {
    const send = () =>
      void sendEveryKept(id).catch((error: unknown) =>
        console.info('Kept sessions could not be read:', error),
      );
    send();
    window.addEventListener('online', send);
    return () => window.removeEventListener('online', send);
  }, [id]);
  return null;
}
