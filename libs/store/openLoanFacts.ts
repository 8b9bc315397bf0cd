/** What the first page asks of every open loan beside its summary: one statement for all of them. */
import type { Moment } from '../contracts/index.js';
import type { Tx } from './database.js';
import { stageOf } from './loanSearch.js';

export interface OpenLoanFacts {
  readonly id: string;
  /** Accessories that nobody counted on arrival. */
  readonly uncounted: number;
  readonly reports: readonly {
    readonly moment: Moment;
    readonly signed: boolean;
    readonly unitId: string | null;
    readonly serialSeen: string;
  }[];
  readonly verdictBegun: boolean;
  /** Somebody approved what stands there now. */
  readonly signedOff: boolean;
  readonly units: readonly { readonly id: string; readonly serial: string; readonly heard: boolean }[];
}

export const openLoanFacts = (tx: Tx): Promise<OpenLoanFacts[]> =>
  tx.$queryRaw<OpenLoanFacts[]>`
    select l."id",
      (select count(*)::int from "Accessory" a where a."loanId" = l."id" and a."arrivedCount" is null) as "uncounted",
      (select coalesce(json_agg(json_build_object('moment', r."moment", 'signed', r."signedAt" is not null,
         'unitId', r."unitId", 'serialSeen', r."serialSeen")), '[]')
       from "ConditionReport" r where r."loanId" = l."id") as "reports",
      v."loanId" is not null as "verdictBegun",
      exists (select 1 from "SignOff" s where s."loanId" = l."id" and s."decision" = 'approve'
        and s."verdictVersion" = v."version" and s."draftVersion" = v."draftVersion") as "signedOff",
      (select coalesce(json_agg(json_build_object('id', u."id", 'serial', u."serial", 'heard', exists (
         select 1 from "ListeningSession" h where h."unitId" = u."id" and h."sealedAt" is not null))), '[]')
       from "Unit" u where u."loanId" = l."id") as "units"
    from "Loan" l left join "Verdict" v on v."loanId" = l."id" where ${stageOf('open')}`;
