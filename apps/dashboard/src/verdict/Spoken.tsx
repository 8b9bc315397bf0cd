/** How long the text takes to speak, at the team's pace. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { sayDuration, spokenSeconds, spokenWords } from '../../../../libs/drafts/index.js';
import { api } from '../api/api.js';
import type { LoanView } from '../contracts.js';
import { Button, Refusal, TextField } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';

export function Spoken({ loan, text }: { loan: LoanView; text: string }) {
  const { wordsPerMinute } = loan.verdict;
  const words = spokenWords(text);
  const [pace, setPace] = useState<string | null>(null);
  const refresh = useRefreshLoan(loan.id);
  const saving = useMutation({
    mutationFn: async (next: number) => {
      const { version } = await api.draftHouse();
      return api.changeDraftHouse({ version, wordsPerMinute: next });
    },
    onSuccess: () => setPace(null),
    onSettled: refresh,
  });
  if (pace !== null)
    return (
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          saving.mutate(Math.round(Number(pace)));
        }}
      >
        <TextField
          label="Words a minute, for all reviews"
          value={pace}
          onChange={setPace}
          inputMode="numeric"
          focusFirst
        />
        <Button type="submit" busy={saving.isPending} isDisabled={!(Number(pace) > 0)}>
          Keep
        </Button>
        <Button look="quiet" onPress={() => setPace(null)}>
          Leave
        </Button>
        <Refusal error={saving.error} />
      </form>
    );
  return (
    <span className="small soft">
      {words} {words === 1 ? 'word' : 'words'}, about {sayDuration(spokenSeconds(words, wordsPerMinute))}{' '}
      spoken at {wordsPerMinute} words a minute{' '}
      <Button look="quiet" onPress={() => setPace(String(wordsPerMinute))}>
        Another pace
      </Button>
    </span>
  );
}
