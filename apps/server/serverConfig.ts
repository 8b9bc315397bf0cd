/** What the server is given by whoever starts it. */
import type { BackupSettings } from '../../libs/backup/index.js';
import type { BlobStore } from '../../libs/blobs/blobStore.js';
import type { QueueBackend } from '../../libs/jobs/queues.js';
import type { MessageSettings } from '../../libs/notices/index.js';
import type { Log, Metrics, MetricsDoor } from '../../libs/running/index.js';
import type { AnalysisRecipe, Database, SecretBox } from '../../libs/store/index.js';

export interface ServerConfig {
  readonly database: Database;
  readonly queues: QueueBackend;
  readonly blobs: BlobStore;
  readonly backups: BackupSettings;
  readonly uploadsFolder: string;
  /** The built dashboard's files; absent in tests of the interface alone. */
  readonly dashboardFolder?: string;
  readonly host: string;
  readonly port: number;
  readonly redisUrl?: string | undefined;
  /** Reverse proxies whose forwarding headers are believed; none by default. */
  readonly trustedProxies?: string | undefined;
  readonly recipe: AnalysisRecipe;
  /** Printed where the server starts; a first run from another machine must show it. */
  readonly setupCode: string;
  readonly messages: MessageSettings;
  /** Opens what is sealed in the database. */
  readonly secrets: SecretBox;
  /** Published bundles are also written there, by the worker. */
  readonly publishFolder?: string | undefined;
  /** What runs here. */
  readonly about: { readonly version: string; readonly algorithm: string };
  readonly metrics: Metrics;
  readonly metricsDoor: MetricsDoor;
  /** A line for each request; none when absent. */
  readonly log?: Log | undefined;
  /** Files arriving at once; more are told to come again. */
  readonly uploadsAtOnce: number;
  readonly report: (error: Error, doing: string) => void;
}

export const CONFIG = Symbol('server configuration');
