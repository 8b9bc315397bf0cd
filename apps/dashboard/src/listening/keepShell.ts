/**
 * For whoever listens: the page can be loaded anew without a network. Browsers allow it over a safe connection or on
 * the very machine only; elsewhere the page must stay open, and says so.
 */
export const canKeepShell = (): boolean => window.isSecureContext && 'serviceWorker' in navigator;

export function keepShell(): void {
  if (!canKeepShell() || !import.meta.env.PROD) return;
  navigator.serviceWorker
    .register('/shell-worker.js')
    .catch((error: unknown) => console.info('The page is not kept for later:', error));
}
