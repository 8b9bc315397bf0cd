/** Recomputing the archive after an algorithm has changed. */
export const campaignStates = ['running', 'done', 'cancelled'] as const;
export type CampaignState = (typeof campaignStates)[number];

export interface CampaignView {
  id: string;
  /** The version everything is brought to. */
  algorithmVersion: string;
  state: CampaignState;
  /** Measurement sets; `total` = done + current + failed + what is still to do (or was cancelled). */
  total: number;
  done: number;
  /** Found to have been computed by this version already, or asked for anew in the meantime. */
  current: number;
  failed: number;
  startedBy: string;
  createdAt: string;
  finishedAt: string | null;
}

/** A set that could not be recomputed: its earlier result stays current. */
export interface CampaignFailure {
  setId: string;
  setName: string;
  unitId: string;
  unitName: string;
  loanId: string;
  reason: string;
}

export interface CampaignDetail extends CampaignView {
  failures: CampaignFailure[];
}

export interface CampaignsView {
  /** The version new analyses are made with. */
  algorithmVersion: string;
  /** Sets whose current result another version gave: what a campaign started now would recompute. */
  outdated: number;
  /** Newest first. */
  campaigns: CampaignView[];
}
