/** The key that one's webhook is signed with: since when it stands, and making another. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import type { NotificationsView } from '../contracts.js';
import { Button, Dialog, Instant, Notice, Refusal } from '../kit/index.js';

export function WebhookKey(props: { view: NotificationsView; onRenewed: (next: NotificationsView) => void }) {
  const { view, onRenewed } = props;
  const [asking, setAsking] = useState(false);
  const renewing = useMutation({
    mutationFn: () => api.renewWebhookKey({ version: view.version }),
    onSuccess: (next) => {
      setAsking(false);
      onRenewed(next);
    },
  });
  return (
    <>
      {!view.webhookSecretWorks && (
        <Notice tone="wrong" title="The key of your webhook does not work any more">
          <p>It was made in another house, before a restore. Make a new one, and give it to your receiver.</p>
        </Notice>
      )}
      <div className="row">
        {view.webhookSecretAt !== null && (
          <span className="small soft">
            The key of its signatures was made <Instant at={view.webhookSecretAt} relativeOnly />.
          </span>
        )}
        <Button onPress={() => setAsking(true)}>Make a new key</Button>
      </div>
      <Dialog title="Make a new key?" open={asking} onClose={() => setAsking(false)}>
        <p>
          From that moment every message is signed with the new key. Let your receiver take both keys for a
          day, so that nothing is missed.
        </p>
        <Refusal error={renewing.error} />
        <div className="form-foot">
          <Button look="grave" busy={renewing.isPending} onPress={() => renewing.mutate()}>
            Make a new key
          </Button>
          <Button onPress={() => setAsking(false)}>Leave it</Button>
        </div>
      </Dialog>
    </>
  );
}
