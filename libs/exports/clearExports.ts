/** Exports whose week is over: the row and the file are gone. */
import type { BlobStore } from '../blobs/blobStore.js';
import { hashOfKey, neededFiles, type Database } from '../store/index.js';

export async function clearExports({ prisma }: Database, blobs: BlobStore, now: Date): Promise<void> {
  for (const { id, fileKey } of await prisma.accountExport.findMany({ where: { expiresAt: { lte: now } } })) {
    if (fileKey !== null) {
      const sha256 = hashOfKey(fileKey);
      const others = await prisma.accountExport.count({ where: { fileKey, id: { not: id } } });
      const needed = others > 0 || (await neededFiles(prisma, [sha256])).has(sha256);
      // Made again a moment ago: next time.
      if (!needed && !(await blobs.remove(sha256, new Date(now.getTime() - 3600_000)))) continue;
    }
    await prisma.accountExport.deleteMany({ where: { id } });
  }
}
