/** The server's parts, put together. */
import { Module, type DynamicModule } from '@nestjs/common';
import { APP_FILTER, APP_GUARD } from '@nestjs/core';
import { AccessGuard } from './access/accessGuard.js';
import { ApiTokens } from './access/apiTokens.js';
import { Sessions } from './access/sessions.js';
import { SignInLimits } from './access/signInLimits.js';
import { Archive } from './archive/archive.js';
import { ArchiveController, CampaignsController } from './archive/archiveControllers.js';
import { Campaigns } from './archive/campaigns.js';
import { Comments } from './drafts/comments.js';
import { DraftsController, PreviewsController, PreviewVisitsController } from './drafts/draftControllers.js';
import { DraftHouse } from './drafts/draftHouse.js';
import { Drafts } from './drafts/drafts.js';
import { DraftSockets } from './drafts/draftSockets.js';
import { Exports } from './drafts/exports.js';
import { PreviewLimits } from './drafts/previewLimits.js';
import { Previews } from './drafts/previews.js';
import { PreviewVisits } from './drafts/previewVisits.js';
import { Backups } from './backups/backups.js';
import { BackupsController } from './backups/backupsController.js';
import { Histories } from './history/histories.js';
import { HistoryController } from './history/historyController.js';
import { Bin } from './bin/bin.js';
import { BinController, DeletionsController } from './bin/binControllers.js';
import { Deletions } from './bin/deletions.js';
import { RefusalFilter } from './http/refusals.js';
import { BlindGuard } from './listening/blindGuard.js';
import { Evidence } from './listening/evidence.js';
import { EvidenceController, ListeningController } from './listening/listeningControllers.js';
import { ListeningSessions } from './listening/listeningSessions.js';
import { SealRecords } from './listening/sealRecords.js';
import { LiveSockets } from './live/liveSockets.js';
import {
  LoansController,
  MakersController,
  UnitsController,
  UnpackingController,
} from './loans/loanControllers.js';
import { DeliveryProofs } from './loans/deliveryProofs.js';
import { Loans } from './loans/loans.js';
import { Makers } from './loans/makers.js';
import { Units } from './loans/units.js';
import { Unpacking } from './loans/unpacking.js';
import { Verdicts } from './loans/verdicts.js';
import { FileReading } from './measurements/fileReading.js';
import { Keeping } from './measurements/keeping.js';
import { MeasurementsController, UploadsController } from './measurements/measurementControllers.js';
import { ResumableUploads } from './measurements/resumableUploads.js';
import { UploadQuotas } from './measurements/uploadQuotas.js';
import { Sets } from './measurements/sets.js';
import { UploadGate } from './measurements/uploadGate.js';
import { Operations } from './operations/operations.js';
import { OperationsController } from './operations/operationsController.js';
import { MetricsController } from './operations/metricsController.js';
import { Overview } from './overview/overview.js';
import { HealthController, OverviewController } from './overview/overviewControllers.js';
import { Exporting } from './people/exporting.js';
import { ExportsController } from './people/exportsController.js';
import { Installing } from './people/installing.js';
import { Inviting } from './people/inviting.js';
import { Leaving } from './people/leaving.js';
import { PeopleController } from './people/peopleController.js';
import { SessionController } from './people/sessionController.js';
import { SigningIn } from './people/signingIn.js';
import { OwnTokens } from './people/ownTokens.js';
import { TokensController } from './people/tokensController.js';
import { Team } from './people/team.js';
import { CalendarFeeds } from './planning/calendarFeeds.js';
import { House } from './planning/house.js';
import { DeliveryLog } from './planning/deliveryLog.js';
import { Notifications } from './planning/notifications.js';
import { HouseController, NotificationsController, PlanController } from './planning/planControllers.js';
import { Plans } from './planning/plans.js';
import { Templates } from './planning/templates.js';
import { Feedback } from './publication/feedback.js';
import { PublicationController } from './publication/publicationControllers.js';
import { Publications } from './publication/publications.js';
import { ReviewsController } from './publication/reviewControllers.js';
import { Reviews } from './publication/reviews.js';
import { Visitors } from './publication/visitors.js';
import { CONFIG, type ServerConfig } from './serverConfig.js';

@Module({})
export class ServerModule {
  static with(config: ServerConfig): DynamicModule {
    return {
      module: ServerModule,
      controllers: [
        SessionController,
        PeopleController,
        TokensController,
        ExportsController,
        MakersController,
        LoansController,
        UnitsController,
        ListeningController,
        EvidenceController,
        UnpackingController,
        MeasurementsController,
        UploadsController,
        DraftsController,
        PreviewsController,
        PreviewVisitsController,
        ArchiveController,
        CampaignsController,
        BackupsController,
        HistoryController,
        BinController,
        DeletionsController,
        OverviewController,
        OperationsController,
        MetricsController,
        PlanController,
        HouseController,
        NotificationsController,
        PublicationController,
        ReviewsController,
        HealthController,
      ],
      providers: [
        { provide: CONFIG, useValue: config },
        { provide: APP_GUARD, useClass: AccessGuard },
        // After it: who asks is known by then.
        { provide: APP_GUARD, useClass: BlindGuard },
        { provide: APP_FILTER, useValue: new RefusalFilter(config.report) },
        Sessions,
        ApiTokens,
        OwnTokens,
        SignInLimits,
        LiveSockets,
        Drafts,
        DraftSockets,
        DraftHouse,
        Comments,
        Exports,
        Previews,
        PreviewVisits,
        PreviewLimits,
        Installing,
        SigningIn,
        Team,
        Inviting,
        Leaving,
        Exporting,
        Makers,
        Loans,
        Units,
        ListeningSessions,
        SealRecords,
        Evidence,
        Unpacking,
        DeliveryProofs,
        Verdicts,
        FileReading,
        UploadQuotas,
        Keeping,
        ResumableUploads,
        UploadGate,
        Sets,
        Archive,
        Campaigns,
        Backups,
        Histories,
        Bin,
        Deletions,
        Overview,
        Operations,
        Plans,
        House,
        Templates,
        Notifications,
        DeliveryLog,
        CalendarFeeds,
        Publications,
        Reviews,
        Feedback,
        Visitors,
      ],
    };
  }
}
