import { folderBlobStore, type BlobStore } from './blobStore.js';

/** Where this installation keeps its files: S3-compatible storage when it is set, else the home's folder. */
export async function openBlobStore(env: NodeJS.ProcessEnv, folder: string): Promise<BlobStore> {
  const endpoint = env['SOJOURN_S3_ENDPOINT'];
  if (!endpoint) return folderBlobStore(folder);
  const { openS3BlobStore } = await import('./s3BlobStore.js');
  return openS3BlobStore({
    endpoint,
    bucket: env['SOJOURN_S3_BUCKET'] ?? 'sojourn',
    key: env['SOJOURN_S3_KEY'] ?? '',
    secret: env['SOJOURN_S3_SECRET'] ?? '',
    region: env['SOJOURN_S3_REGION'],
  });
}
