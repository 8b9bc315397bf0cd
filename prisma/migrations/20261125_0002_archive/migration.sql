-- CreateEnum
CREATE TYPE "CampaignState" AS ENUM ('running', 'done', 'cancelled');

-- CreateEnum
CREATE TYPE "CampaignItemState" AS ENUM ('waiting', 'asked', 'done', 'current', 'failed', 'cancelled');

-- AlterTable
ALTER TABLE "Computation" ADD COLUMN     "profile" JSONB;

-- CreateTable
CREATE TABLE "ArchivedUnit" (
    "unitId" UUID NOT NULL,
    "responseAnalysisId" UUID,
    "impedanceAnalysisId" UUID,
    "algorithmVersion" TEXT NOT NULL,
    "sensitivityDb" DOUBLE PRECISION,
    "f3Hz" DOUBLE PRECISION,
    "f6Hz" DOUBLE PRECISION,
    "f10Hz" DOUBLE PRECISION,
    "onAxisWithinDb" DOUBLE PRECISION,
    "listeningWindowWithinDb" DOUBLE PRECISION,
    "inRoomSlopeDbPerOctave" DOUBLE PRECISION,
    "coverageDeg" DOUBLE PRECISION,
    "predictedPreference" DOUBLE PRECISION,
    "predictedPreferenceIgnoringBass" DOUBLE PRECISION,
    "minimumOhm" DOUBLE PRECISION,
    "ratedOhm" DOUBLE PRECISION,
    "epdrMinimumOhm" DOUBLE PRECISION,
    "responseDb" DOUBLE PRECISION[],
    "directivityDb" DOUBLE PRECISION[],
    "bassOctaves" DOUBLE PRECISION[],
    "firstAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "ArchivedUnit_pkey" PRIMARY KEY ("unitId")
);

-- CreateTable
CREATE TABLE "Campaign" (
    "id" UUID NOT NULL,
    "algorithmVersion" TEXT NOT NULL,
    "settings" JSONB NOT NULL,
    "state" "CampaignState" NOT NULL DEFAULT 'running',
    "running" TEXT DEFAULT 'archive',
    "total" INTEGER NOT NULL,
    "done" INTEGER NOT NULL DEFAULT 0,
    "current" INTEGER NOT NULL DEFAULT 0,
    "failed" INTEGER NOT NULL DEFAULT 0,
    "startedBy" UUID,
    "startedByName" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "finishedAt" TIMESTAMPTZ(3),

    CONSTRAINT "Campaign_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "CampaignItem" (
    "campaignId" UUID NOT NULL,
    "setId" UUID NOT NULL,
    "analysisId" UUID NOT NULL,
    "position" INTEGER NOT NULL,
    "state" "CampaignItemState" NOT NULL DEFAULT 'waiting',
    "reason" TEXT,
    "endedAt" TIMESTAMPTZ(3),

    CONSTRAINT "CampaignItem_pkey" PRIMARY KEY ("campaignId","setId")
);

-- CreateIndex
CREATE INDEX "ArchivedUnit_firstAt_idx" ON "ArchivedUnit"("firstAt");

-- CreateIndex
CREATE INDEX "ArchivedUnit_sensitivityDb_idx" ON "ArchivedUnit"("sensitivityDb");

-- CreateIndex
CREATE INDEX "ArchivedUnit_f3Hz_idx" ON "ArchivedUnit"("f3Hz");

-- CreateIndex
CREATE INDEX "ArchivedUnit_f6Hz_idx" ON "ArchivedUnit"("f6Hz");

-- CreateIndex
CREATE INDEX "ArchivedUnit_f10Hz_idx" ON "ArchivedUnit"("f10Hz");

-- CreateIndex
CREATE INDEX "ArchivedUnit_listeningWindowWithinDb_idx" ON "ArchivedUnit"("listeningWindowWithinDb");

-- CreateIndex
CREATE INDEX "ArchivedUnit_inRoomSlopeDbPerOctave_idx" ON "ArchivedUnit"("inRoomSlopeDbPerOctave");

-- CreateIndex
CREATE INDEX "ArchivedUnit_coverageDeg_idx" ON "ArchivedUnit"("coverageDeg");

-- CreateIndex
CREATE INDEX "ArchivedUnit_predictedPreference_idx" ON "ArchivedUnit"("predictedPreference");

-- CreateIndex
CREATE INDEX "ArchivedUnit_minimumOhm_idx" ON "ArchivedUnit"("minimumOhm");

-- CreateIndex
CREATE UNIQUE INDEX "Campaign_running_key" ON "Campaign"("running");

-- CreateIndex
CREATE INDEX "Campaign_createdAt_idx" ON "Campaign"("createdAt");

-- CreateIndex
CREATE INDEX "CampaignItem_campaignId_state_position_idx" ON "CampaignItem"("campaignId", "state", "position");

-- CreateIndex
CREATE INDEX "CampaignItem_analysisId_idx" ON "CampaignItem"("analysisId");

-- AddForeignKey
ALTER TABLE "ArchivedUnit" ADD CONSTRAINT "ArchivedUnit_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "Unit"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "CampaignItem" ADD CONSTRAINT "CampaignItem_campaignId_fkey" FOREIGN KEY ("campaignId") REFERENCES "Campaign"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "CampaignItem" ADD CONSTRAINT "CampaignItem_analysisId_fkey" FOREIGN KEY ("analysisId") REFERENCES "Analysis"("id") ON DELETE CASCADE ON UPDATE CASCADE;
