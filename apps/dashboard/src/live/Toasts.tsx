/** Draws what is said; read aloud politely, gone after a while unless it can't wait or is being read. */
import { useEffect, useState, useSyncExternalStore } from 'react';
import { Link } from 'react-router';
import { Button, IconButton } from '../kit/index.js';
import { currentToasts, dismiss, subscribe, type Toast } from './toasts.js';

const SHOWN_MS = 9000;

export function Toasts() {
  const toasts = useSyncExternalStore(subscribe, currentToasts);
  return (
    <section className="toasts" aria-label="News" aria-live="polite" aria-relevant="additions">
      {toasts.map((toast) => (
        <ToastCard key={toast.id} toast={toast} />
      ))}
    </section>
  );
}

function ToastCard({ toast }: { toast: Toast }) {
  const [held, setHeld] = useState(false);
  const stays = toast.tone === 'late' || held;
  useEffect(() => {
    if (stays) return undefined;
    const timer = setTimeout(() => dismiss(toast.id), SHOWN_MS);
    return () => clearTimeout(timer);
  }, [stays, toast.id]);
  return (
    <div
      className="toast"
      data-tone={toast.tone}
      onPointerEnter={() => setHeld(true)}
      onPointerLeave={() => setHeld(false)}
      onFocus={() => setHeld(true)}
      onBlur={() => setHeld(false)}
    >
      <span className="toast-bar" aria-hidden="true" />
      <div>
        <strong>
          {toast.to ? (
            <Link to={toast.to} onClick={() => dismiss(toast.id)}>
              {toast.title}
            </Link>
          ) : (
            toast.title
          )}
        </strong>
        <div className="small">{toast.text}</div>
        {toast.act && (
          <Button
            look="quiet"
            onPress={() => {
              dismiss(toast.id);
              toast.act?.run();
            }}
          >
            {toast.act.words}
          </Button>
        )}
      </div>
      <IconButton icon="cross" label={`Dismiss: ${toast.title}`} onPress={() => dismiss(toast.id)} />
    </div>
  );
}
