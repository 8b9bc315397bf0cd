/** The way home: proof of delivery, captions, and accessories that are struck off the list. */
import { z } from 'zod';

const text = (most: number) => z.string().trim().max(most);
const version = z.number().int().min(1).describe('The version you saw; a write on an older one is refused');

export const RemoveAccessory = z.object({
  version,
  why: text(500).min(5, 'Say why it is struck off the list.'),
});
export const ChangePhotograph = z
  .object({ caption: text(300) })
  .partial()
  .extend({ version });

export interface DeliveryProofView {
  id: string;
  name: string;
  url: string;
  isPicture: boolean;
  addedBy: string;
  addedAt: string;
}
