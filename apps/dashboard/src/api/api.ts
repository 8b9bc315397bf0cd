/** The one client the pages use. Whatever it deletes, it offers to take back. */
import { createClient, sender, type Send } from '../contracts.js';
import { isBinned, offerUndo } from '../live/offerUndo.js';

// Bound late: a page test may replace `fetch`.
const send = sender((input, init) => fetch(input, init));

const sendOfferingUndo: Send = async (method, path, body) => {
  const answer = await send(method, path, body);
  if (isBinned(answer)) offerUndo(answer, (binId) => api.putBack(binId));
  return answer;
};

export const api = createClient(sendOfferingUndo);
