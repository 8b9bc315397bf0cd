/** How far a message got, and by which way, in words. */
import type { Channel, DeliveryView } from '../contracts.js';

export const deliveryStateWords: Readonly<Record<DeliveryView['state'], string>> = {
  waiting: 'waits',
  sending: 'being sent',
  sent: 'sent',
  failed: 'did not get through',
  dropped: 'not sent',
};
export const wayWords: Readonly<Record<Channel, string>> = { email: 'by e-mail', webhook: 'by webhook' };
