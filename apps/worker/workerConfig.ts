/** What the worker is given by whoever starts it. */
import type { BackupSettings } from '../../libs/backup/index.js';
import type { BlobStore } from '../../libs/blobs/blobStore.js';
import type { QueueBackend } from '../../libs/jobs/queues.js';
import type { MessageSettings } from '../../libs/notices/index.js';
import type { Log, Metrics } from '../../libs/running/index.js';
import type { AnalysisRecipe, Database, SecretBox } from '../../libs/store/index.js';

export interface WorkerConfig {
  readonly database: Database;
  readonly queues: QueueBackend;
  readonly blobs: BlobStore;
  readonly backups: BackupSettings;
  readonly recipe: AnalysisRecipe;
  /** Threads for the arithmetic. */
  readonly threads: number;
  readonly messages: MessageSettings;
  /** Opens what is sealed in the database. */
  readonly secrets: SecretBox;
  /** The built script and style of a bundle's page. */
  readonly reviewPageFolder: string;
  /** Published bundles are also written here; nowhere when absent. */
  readonly publishFolder?: string | undefined;
  readonly metrics: Metrics;
  /** A line for each job; none when absent. */
  readonly log?: Log | undefined;
  readonly report: (error: Error, doing: string) => void;
}

export const CONFIG = Symbol('worker configuration');
