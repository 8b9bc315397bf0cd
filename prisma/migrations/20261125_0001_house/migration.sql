-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateEnum
CREATE TYPE "Role" AS ENUM ('owner', 'cohost', 'editor', 'viewer');

-- CreateEnum
CREATE TYPE "Stage" AS ENUM ('requested', 'agreed', 'arrived', 'measuring', 'listening', 'drafting', 'published', 'returning', 'closed');

-- CreateEnum
CREATE TYPE "UnitKind" AS ENUM ('standmount', 'floorstander', 'centre', 'subwoofer', 'active', 'panel', 'inwall');

-- CreateEnum
CREATE TYPE "Moment" AS ENUM ('arrival', 'return');

-- CreateEnum
CREATE TYPE "ComputationState" AS ENUM ('queued', 'reading', 'analysing', 'drawing', 'done', 'refused', 'quarantined');

-- CreateTable
CREATE TABLE "Account" (
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "role" "Role" NOT NULL,
    "passwordHash" TEXT NOT NULL,
    "timeZone" TEXT NOT NULL DEFAULT 'UTC',
    "disabledAt" TIMESTAMPTZ(3),
    "invented" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Account_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Session" (
    "tokenHash" TEXT NOT NULL,
    "accountId" UUID NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "lastSeenAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "Session_pkey" PRIMARY KEY ("tokenHash")
);

-- CreateTable
CREATE TABLE "Invitation" (
    "id" UUID NOT NULL,
    "tokenHash" TEXT NOT NULL,
    "role" "Role" NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "invitedBy" UUID NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,
    "acceptedAt" TIMESTAMPTZ(3),
    "acceptedBy" UUID,
    "revokedAt" TIMESTAMPTZ(3),

    CONSTRAINT "Invitation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Installation" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "name" TEXT NOT NULL,
    "timeZone" TEXT NOT NULL,
    "invented" BOOLEAN NOT NULL DEFAULT false,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Installation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Maker" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "website" TEXT NOT NULL DEFAULT '',
    "notes" TEXT NOT NULL DEFAULT '',
    "invented" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Maker_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Contact" (
    "id" UUID NOT NULL,
    "makerId" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT NOT NULL DEFAULT '',
    "phone" TEXT NOT NULL DEFAULT '',
    "duty" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "Contact_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Loan" (
    "id" UUID NOT NULL,
    "makerId" UUID NOT NULL,
    "title" TEXT NOT NULL,
    "stage" "Stage" NOT NULL DEFAULT 'requested',
    "requestedOn" DATE NOT NULL,
    "arrivalFrom" DATE,
    "arrivalTo" DATE,
    "arrivedOn" DATE,
    "returnBy" DATE,
    "loanDays" INTEGER,
    "embargoUntil" TIMESTAMPTZ(3),
    "freightPayer" TEXT,
    "freightDays" INTEGER NOT NULL DEFAULT 3,
    "insuredValueMinor" INTEGER,
    "currency" TEXT NOT NULL DEFAULT 'EUR',
    "makerMayComment" BOOLEAN NOT NULL DEFAULT false,
    "makerCommentAgreed" BOOLEAN NOT NULL DEFAULT false,
    "keepUntilPublished" BOOLEAN NOT NULL DEFAULT false,
    "termsAgreedAt" TIMESTAMPTZ(3),
    "carrier" TEXT,
    "notes" TEXT NOT NULL DEFAULT '',
    "publishedUrl" TEXT,
    "publishedAt" TIMESTAMPTZ(3),
    "returnCarrier" TEXT,
    "returnTracking" TEXT,
    "deliveredOn" DATE,
    "deliveryConfirmedBy" TEXT,
    "outcome" TEXT,
    "invented" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Loan_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Unit" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" "UnitKind" NOT NULL,
    "ways" INTEGER,
    "drivers" TEXT NOT NULL DEFAULT '',
    "finish" TEXT NOT NULL DEFAULT '',
    "serial" TEXT NOT NULL DEFAULT '',
    "massKg" DOUBLE PRECISION,
    "priceMinor" INTEGER,
    "currency" TEXT NOT NULL DEFAULT 'EUR',
    "ratedOhm" DOUBLE PRECISION,
    "ratedPowerW" DOUBLE PRECISION,
    "ratedSensitivityDb" DOUBLE PRECISION,
    "symmetricCabinet" BOOLEAN NOT NULL DEFAULT false,
    "invented" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Unit_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "PlannedDataSet" (
    "id" UUID NOT NULL,
    "unitId" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "title" TEXT NOT NULL,
    "detail" TEXT NOT NULL DEFAULT '',
    "position" INTEGER NOT NULL,
    "waivedWhy" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "PlannedDataSet_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Accessory" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "expectedCount" INTEGER NOT NULL DEFAULT 1,
    "arrivedCount" INTEGER,
    "arrivalNote" TEXT NOT NULL DEFAULT '',
    "returnedCount" INTEGER,
    "returnNote" TEXT NOT NULL DEFAULT '',
    "packaging" BOOLEAN NOT NULL DEFAULT false,
    "position" INTEGER NOT NULL DEFAULT 0,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "Accessory_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "ConditionReport" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "unitId" UUID,
    "moment" "Moment" NOT NULL,
    "condition" TEXT NOT NULL,
    "serialSeen" TEXT NOT NULL DEFAULT '',
    "damage" TEXT NOT NULL DEFAULT '',
    "makerToldAt" TIMESTAMPTZ(3),
    "signedBy" UUID,
    "signedByName" TEXT,
    "signedAt" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "ConditionReport_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Photograph" (
    "id" UUID NOT NULL,
    "reportId" UUID NOT NULL,
    "sha256" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "caption" TEXT NOT NULL DEFAULT '',
    "takenBy" UUID,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Photograph_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Blob" (
    "sha256" TEXT NOT NULL,
    "bytes" BIGINT NOT NULL,
    "mediaType" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Blob_pkey" PRIMARY KEY ("sha256")
);

-- CreateTable
CREATE TABLE "MeasurementSet" (
    "id" UUID NOT NULL,
    "unitId" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "setAsideWhy" TEXT,
    "invented" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdBy" UUID,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "MeasurementSet_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "SetFile" (
    "id" UUID NOT NULL,
    "setId" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "sha256" TEXT NOT NULL,
    "uploadedBy" UUID,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "SetFile_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Computation" (
    "id" TEXT NOT NULL,
    "algorithmVersion" TEXT NOT NULL,
    "settings" JSONB NOT NULL,
    "inputs" JSONB NOT NULL,
    "invented" BOOLEAN NOT NULL DEFAULT false,
    "state" "ComputationState" NOT NULL DEFAULT 'queued',
    "progress" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "reason" TEXT,
    "problems" JSONB,
    "series" TEXT,
    "result" JSONB,
    "summary" JSONB,
    "figures" JSONB,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "finishedAt" TIMESTAMPTZ(3),
    "computeMs" DOUBLE PRECISION,

    CONSTRAINT "Computation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Analysis" (
    "id" UUID NOT NULL,
    "setId" UUID NOT NULL,
    "computationId" TEXT NOT NULL,
    "requestedBy" UUID,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Analysis_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "ListeningSession" (
    "id" UUID NOT NULL,
    "unitId" UUID NOT NULL,
    "listenerId" UUID NOT NULL,
    "heardOn" DATE NOT NULL,
    "placement" TEXT NOT NULL DEFAULT '',
    "levelDb" DOUBLE PRECISION,
    "remarks" JSONB NOT NULL DEFAULT '[]',
    "sealHash" TEXT,
    "sealedAt" TIMESTAMPTZ(3),
    "blind" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "ListeningSession_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "DataOpening" (
    "unitId" UUID NOT NULL,
    "accountId" UUID NOT NULL,
    "firstAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "DataOpening_pkey" PRIMARY KEY ("unitId","accountId")
);

-- CreateTable
CREATE TABLE "Verdict" (
    "loanId" UUID NOT NULL,
    "text" TEXT NOT NULL DEFAULT '',
    "pros" JSONB NOT NULL DEFAULT '[]',
    "cons" JSONB NOT NULL DEFAULT '[]',
    "version" INTEGER NOT NULL DEFAULT 1,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Verdict_pkey" PRIMARY KEY ("loanId")
);

-- CreateTable
CREATE TABLE "SignOff" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "accountId" UUID NOT NULL,
    "verdictVersion" INTEGER NOT NULL,
    "decision" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "SignOff_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "HistoryEntry" (
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "actorId" UUID,
    "actorName" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "loanId" UUID,
    "subject" TEXT NOT NULL,
    "subjectId" TEXT NOT NULL,
    "sentence" TEXT NOT NULL,
    "before" JSONB,
    "after" JSONB,
    "reason" TEXT,

    CONSTRAINT "HistoryEntry_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "OutboxRequest" (
    "id" BIGSERIAL NOT NULL,
    "job" TEXT NOT NULL,
    "jobId" TEXT NOT NULL,
    "payload" JSONB NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "sentAt" TIMESTAMPTZ(3),

    CONSTRAINT "OutboxRequest_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "FeedCounter" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "number" BIGINT NOT NULL DEFAULT 0,

    CONSTRAINT "FeedCounter_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "FeedEvent" (
    "number" BIGINT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "room" TEXT NOT NULL,
    "type" TEXT NOT NULL,
    "payload" JSONB NOT NULL,

    CONSTRAINT "FeedEvent_pkey" PRIMARY KEY ("number")
);

-- CreateTable
CREATE TABLE "AppliedEffect" (
    "key" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "AppliedEffect_pkey" PRIMARY KEY ("key")
);

-- CreateTable
CREATE TABLE "DeadlineNotice" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "about" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "DeadlineNotice_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "AttemptLimit" (
    "key" VARCHAR(255) NOT NULL,
    "points" INTEGER NOT NULL DEFAULT 0,
    "expire" BIGINT,

    CONSTRAINT "AttemptLimit_pkey" PRIMARY KEY ("key")
);

-- CreateIndex
CREATE UNIQUE INDEX "Account_email_key" ON "Account"("email");

-- CreateIndex
CREATE INDEX "Session_accountId_idx" ON "Session"("accountId");

-- CreateIndex
CREATE UNIQUE INDEX "Invitation_tokenHash_key" ON "Invitation"("tokenHash");

-- CreateIndex
CREATE INDEX "Contact_makerId_idx" ON "Contact"("makerId");

-- CreateIndex
CREATE INDEX "Loan_stage_idx" ON "Loan"("stage");

-- CreateIndex
CREATE INDEX "Loan_returnBy_idx" ON "Loan"("returnBy");

-- CreateIndex
CREATE INDEX "Unit_loanId_idx" ON "Unit"("loanId");

-- CreateIndex
CREATE UNIQUE INDEX "PlannedDataSet_unitId_code_key" ON "PlannedDataSet"("unitId", "code");

-- CreateIndex
CREATE INDEX "Accessory_loanId_idx" ON "Accessory"("loanId");

-- CreateIndex
CREATE INDEX "ConditionReport_loanId_idx" ON "ConditionReport"("loanId");

-- CreateIndex
CREATE INDEX "MeasurementSet_unitId_idx" ON "MeasurementSet"("unitId");

-- CreateIndex
CREATE UNIQUE INDEX "SetFile_setId_name_key" ON "SetFile"("setId", "name");

-- CreateIndex
CREATE INDEX "Analysis_setId_idx" ON "Analysis"("setId");

-- CreateIndex
CREATE INDEX "Analysis_computationId_idx" ON "Analysis"("computationId");

-- CreateIndex
CREATE INDEX "ListeningSession_unitId_idx" ON "ListeningSession"("unitId");

-- CreateIndex
CREATE INDEX "SignOff_loanId_idx" ON "SignOff"("loanId");

-- CreateIndex
CREATE INDEX "HistoryEntry_loanId_at_idx" ON "HistoryEntry"("loanId", "at");

-- CreateIndex
CREATE INDEX "HistoryEntry_at_idx" ON "HistoryEntry"("at");

-- CreateIndex
CREATE INDEX "OutboxRequest_sentAt_id_idx" ON "OutboxRequest"("sentAt", "id");

-- CreateIndex
CREATE INDEX "FeedEvent_room_number_idx" ON "FeedEvent"("room", "number");

-- CreateIndex
CREATE UNIQUE INDEX "DeadlineNotice_loanId_kind_about_key" ON "DeadlineNotice"("loanId", "kind", "about");

-- AddForeignKey
ALTER TABLE "Session" ADD CONSTRAINT "Session_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Contact" ADD CONSTRAINT "Contact_makerId_fkey" FOREIGN KEY ("makerId") REFERENCES "Maker"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Loan" ADD CONSTRAINT "Loan_makerId_fkey" FOREIGN KEY ("makerId") REFERENCES "Maker"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Unit" ADD CONSTRAINT "Unit_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PlannedDataSet" ADD CONSTRAINT "PlannedDataSet_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "Unit"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Accessory" ADD CONSTRAINT "Accessory_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ConditionReport" ADD CONSTRAINT "ConditionReport_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ConditionReport" ADD CONSTRAINT "ConditionReport_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "Unit"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Photograph" ADD CONSTRAINT "Photograph_reportId_fkey" FOREIGN KEY ("reportId") REFERENCES "ConditionReport"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Photograph" ADD CONSTRAINT "Photograph_takenBy_fkey" FOREIGN KEY ("takenBy") REFERENCES "Account"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Photograph" ADD CONSTRAINT "Photograph_sha256_fkey" FOREIGN KEY ("sha256") REFERENCES "Blob"("sha256") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "MeasurementSet" ADD CONSTRAINT "MeasurementSet_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "Unit"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "SetFile" ADD CONSTRAINT "SetFile_setId_fkey" FOREIGN KEY ("setId") REFERENCES "MeasurementSet"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "SetFile" ADD CONSTRAINT "SetFile_sha256_fkey" FOREIGN KEY ("sha256") REFERENCES "Blob"("sha256") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Analysis" ADD CONSTRAINT "Analysis_setId_fkey" FOREIGN KEY ("setId") REFERENCES "MeasurementSet"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Analysis" ADD CONSTRAINT "Analysis_computationId_fkey" FOREIGN KEY ("computationId") REFERENCES "Computation"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ListeningSession" ADD CONSTRAINT "ListeningSession_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "Unit"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ListeningSession" ADD CONSTRAINT "ListeningSession_listenerId_fkey" FOREIGN KEY ("listenerId") REFERENCES "Account"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Verdict" ADD CONSTRAINT "Verdict_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "SignOff" ADD CONSTRAINT "SignOff_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "SignOff" ADD CONSTRAINT "SignOff_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "DeadlineNotice" ADD CONSTRAINT "DeadlineNotice_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- The one counter that numbers feed events in the order of their commits.
INSERT INTO "FeedCounter" ("id", "number") VALUES (1, 0);
