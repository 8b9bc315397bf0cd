/** Every job the house knows, with what it is given and what it leaves. */
export interface JobPayloads {
  /** An analysis, from where its row stands to its end: files to series, to curves and numbers, to figures. */
  'read-set': { computationId: string };
  /** The same; what earlier versions asked for between two steps. */
  'analyse-set': { computationId: string };
  'draw-figures': { computationId: string };
  /** One set of a campaign: files to figures by the current algorithm. */
  'recompute-set': { campaignId: string; setId: string };
  /** Fill an empty installation with the invented demo. */
  'load-demo': { ownerId: string };
  /** Look at every open loan's deadlines. */
  'watch-deadlines': { asked: string };
  /** Send one message to one person. */
  deliver: { deliveryId: string };
  /** Put a review's page, figures and data into one bundle; a release goes out with it. */
  'build-bundle': { publicationId: string };
  /** Write a published bundle to the team's folder. */
  'place-bundle': { publicationId: string };
  /** Clear what is no longer needed. */
  'clear-old': { asked: string };
  /** See whether tonight's backup is due. */
  'schedule-backups': { asked: string };
  /** Everything to one file. */
  'make-backup': { runId: string };
  /** A person's data, or the team's, to one ZIP. */
  'make-export': { exportId: string };
}
export type JobName = keyof JobPayloads;

/** Interactive work never waits behind a campaign or upkeep. */
export const queueOfJob: Readonly<Record<JobName, QueueName>> = {
  'read-set': 'analysis',
  'analyse-set': 'analysis',
  'draw-figures': 'analysis',
  'recompute-set': 'campaign',
  'load-demo': 'upkeep',
  'watch-deadlines': 'upkeep',
  deliver: 'messages',
  'build-bundle': 'publication',
  'place-bundle': 'publication',
  'clear-old': 'upkeep',
  'schedule-backups': 'upkeep',
  'make-backup': 'backups',
  'make-export': 'backups',
};
export const queueNames = ['analysis', 'campaign', 'upkeep', 'messages', 'publication', 'backups'] as const;
export type QueueName = (typeof queueNames)[number];
