/** The files of a set, as they came. */
import { useMutation } from '@tanstack/react-query';
import { api } from '../api/api.js';
import type { SetView } from '../contracts.js';
import { IconButton, Instant, Refusal } from '../kit/index.js';
import { bytesWords, count } from '../words/numbers.js';

export function SetFiles({ set, onChanged }: { set: SetView; onChanged: () => Promise<void> }) {
  const removing = useMutation({ mutationFn: (id: string) => api.removeFile(id), onSettled: onChanged });
  if (set.files.length === 0) return null;
  const bytes = set.files.reduce((sum, file) => sum + file.bytes, 0);
  return (
    <details className="set-files">
      <summary>
        {count(set.files.length, 'file')} <span className="soft">{bytesWords(bytes)}</span>
      </summary>
      <Refusal error={removing.error} />
      <ul>
        {set.files.map((file) => (
          <li key={file.id}>
            <a className="num" href={`/api/files/${file.id}`} download={file.name}>
              {file.name}
            </a>
            <span className="small soft">
              {bytesWords(file.bytes)}, <Instant at={file.uploadedAt} relativeOnly />
            </span>
            {set.setAsideWhy === null && (
              <IconButton
                icon="cross"
                label={`Take ${file.name} out of the set`}
                isDisabled={removing.isPending}
                onPress={() => removing.mutate(file.id)}
              />
            )}
          </li>
        ))}
      </ul>
    </details>
  );
}
