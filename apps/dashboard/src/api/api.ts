/** The one client the pages use. */
import { createClient, sender } from '../contracts.js';

// Bound late: a page test may replace `fetch`.
export const api = createClient(sender((input, init) => fetch(input, init)));
