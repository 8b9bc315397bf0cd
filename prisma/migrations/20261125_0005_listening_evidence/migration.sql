-- AlterTable
ALTER TABLE "ListeningSession" ADD COLUMN     "begunAt" TIMESTAMPTZ(3),
ADD COLUMN     "begunBlind" BOOLEAN NOT NULL DEFAULT false,
ADD COLUMN     "givenUpAt" TIMESTAMPTZ(3),
ADD COLUMN     "lastDevice" TEXT,
ADD COLUMN     "lastWrite" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "sealedText" TEXT,
ADD COLUMN     "sources" TEXT NOT NULL DEFAULT '',
ADD COLUMN     "words" TEXT NOT NULL DEFAULT '';

-- CreateTable
CREATE TABLE "ListeningAddition" (
    "id" UUID NOT NULL,
    "sessionId" UUID NOT NULL,
    "remark" JSONB NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "ListeningAddition_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "EvidencePair" (
    "id" UUID NOT NULL,
    "unitId" UUID NOT NULL,
    "remarkId" TEXT NOT NULL,
    "findingKind" TEXT NOT NULL,
    "findingHz" DOUBLE PRECISION NOT NULL,
    "decision" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "byName" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "EvidencePair_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "ListeningAddition_sessionId_idx" ON "ListeningAddition"("sessionId");

-- CreateIndex
CREATE INDEX "EvidencePair_unitId_idx" ON "EvidencePair"("unitId");

-- CreateIndex
CREATE INDEX "ListeningSession_listenerId_sealedAt_idx" ON "ListeningSession"("listenerId", "sealedAt");

-- AddForeignKey
ALTER TABLE "ListeningAddition" ADD CONSTRAINT "ListeningAddition_sessionId_fkey" FOREIGN KEY ("sessionId") REFERENCES "ListeningSession"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "EvidencePair" ADD CONSTRAINT "EvidencePair_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "Unit"("id") ON DELETE CASCADE ON UPDATE CASCADE;


-- Sessions that are open now are blind if their author has not opened the unit's data.
UPDATE "ListeningSession" s SET "begunBlind" = true
WHERE s."sealedAt" IS NULL AND NOT EXISTS (
  SELECT 1 FROM "DataOpening" o WHERE o."unitId" = s."unitId" AND o."accountId" = s."listenerId"
);
