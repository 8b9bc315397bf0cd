/** Whether a connection comes from this very machine. */
export const isLoopback = (address: string): boolean =>
  address === '127.0.0.1' || address === '::1' || address === '::ffff:127.0.0.1';
