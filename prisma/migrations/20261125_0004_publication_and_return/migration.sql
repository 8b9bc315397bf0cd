-- CreateEnum
CREATE TYPE "PublicationPurpose" AS ENUM ('preview', 'release');

-- CreateEnum
CREATE TYPE "PublicationState" AS ENUM ('scheduled', 'building', 'ready', 'published', 'superseded', 'refused', 'cancelled');

-- AlterTable
ALTER TABLE "Loan" ADD COLUMN     "deliveryNote" TEXT NOT NULL DEFAULT '';

-- AlterTable
ALTER TABLE "Accessory" ADD COLUMN     "lossToldAt" TIMESTAMPTZ(3);

-- AlterTable
ALTER TABLE "Photograph" ADD COLUMN     "version" INTEGER NOT NULL DEFAULT 1;

-- CreateTable
CREATE TABLE "DeliveryProof" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "sha256" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "addedBy" UUID,
    "addedByName" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "DeliveryProof_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "PublicationHouse" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "licenceName" TEXT NOT NULL DEFAULT 'CC BY 4.0',
    "licenceUrl" TEXT NOT NULL DEFAULT 'https://creativecommons.org/licenses/by/4.0/',
    "licenceWords" TEXT NOT NULL DEFAULT 'Data and figures may be shared and adapted, also commercially, if the team is named and changes are stated.',
    "showPreference" BOOLEAN NOT NULL DEFAULT false,
    "showListening" BOOLEAN NOT NULL DEFAULT true,
    "feedbackOpen" BOOLEAN NOT NULL DEFAULT true,
    "visitorSalt" UUID NOT NULL DEFAULT gen_random_uuid(),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "PublicationHouse_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Publication" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "purpose" "PublicationPurpose" NOT NULL,
    "state" "PublicationState" NOT NULL DEFAULT 'building',
    "number" INTEGER,
    "title" TEXT NOT NULL,
    "changeNote" TEXT NOT NULL DEFAULT '',
    "askedBy" UUID,
    "askedByName" TEXT NOT NULL,
    "askedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "publishAfter" TIMESTAMPTZ(3),
    "overrideReason" TEXT,
    "overrides" TEXT[],
    "overriddenEmbargo" TIMESTAMPTZ(3),
    "progress" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "reason" TEXT,
    "bundle" TEXT,
    "bundleBytes" INTEGER,
    "manifest" JSONB,
    "content" JSONB,
    "publishedAt" TIMESTAMPTZ(3),
    "placedAt" TIMESTAMPTZ(3),
    "placeFault" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "Publication_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "PublishedUnit" (
    "id" UUID NOT NULL,
    "publicationId" UUID NOT NULL,
    "unitId" UUID NOT NULL,
    "position" INTEGER NOT NULL,
    "current" BOOLEAN NOT NULL DEFAULT true,
    "name" TEXT NOT NULL,
    "makerName" TEXT NOT NULL,
    "kind" "UnitKind" NOT NULL,
    "drivers" TEXT NOT NULL DEFAULT '',
    "finish" TEXT NOT NULL DEFAULT '',
    "priceMinor" INTEGER,
    "currency" TEXT NOT NULL DEFAULT 'EUR',
    "invented" BOOLEAN NOT NULL DEFAULT false,
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
    "curves" JSONB,
    "profile" JSONB,
    "figures" JSONB NOT NULL DEFAULT '[]',

    CONSTRAINT "PublishedUnit_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "ReaderFeedback" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "publicationId" UUID NOT NULL,
    "clarity" INTEGER NOT NULL,
    "length" TEXT NOT NULL,
    "missing" TEXT[],
    "words" TEXT NOT NULL DEFAULT '',
    "visitorHash" TEXT NOT NULL,
    "shownAt" TIMESTAMPTZ(3),
    "hiddenAt" TIMESTAMPTZ(3),
    "judgedByName" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "ReaderFeedback_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "DeliveryProof_loanId_idx" ON "DeliveryProof"("loanId");

-- CreateIndex
CREATE INDEX "Publication_state_publishAfter_idx" ON "Publication"("state", "publishAfter");

-- CreateIndex
CREATE INDEX "Publication_publishedAt_idx" ON "Publication"("publishedAt");

-- CreateIndex
CREATE UNIQUE INDEX "Publication_loanId_number_key" ON "Publication"("loanId", "number");

-- CreateIndex
CREATE INDEX "PublishedUnit_current_name_idx" ON "PublishedUnit"("current", "name");

-- CreateIndex
CREATE INDEX "PublishedUnit_unitId_idx" ON "PublishedUnit"("unitId");

-- CreateIndex
CREATE UNIQUE INDEX "PublishedUnit_publicationId_position_key" ON "PublishedUnit"("publicationId", "position");

-- CreateIndex
CREATE INDEX "ReaderFeedback_loanId_createdAt_idx" ON "ReaderFeedback"("loanId", "createdAt");

-- AddForeignKey
ALTER TABLE "DeliveryProof" ADD CONSTRAINT "DeliveryProof_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "DeliveryProof" ADD CONSTRAINT "DeliveryProof_sha256_fkey" FOREIGN KEY ("sha256") REFERENCES "Blob"("sha256") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Publication" ADD CONSTRAINT "Publication_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PublishedUnit" ADD CONSTRAINT "PublishedUnit_publicationId_fkey" FOREIGN KEY ("publicationId") REFERENCES "Publication"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ReaderFeedback" ADD CONSTRAINT "ReaderFeedback_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "ReaderFeedback" ADD CONSTRAINT "ReaderFeedback_publicationId_fkey" FOREIGN KEY ("publicationId") REFERENCES "Publication"("id") ON DELETE CASCADE ON UPDATE CASCADE;
