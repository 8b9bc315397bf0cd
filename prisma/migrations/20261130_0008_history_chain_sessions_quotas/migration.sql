-- AlterTable
ALTER TABLE "Session" ADD COLUMN     "device" TEXT NOT NULL DEFAULT '',
ADD COLUMN     "id" UUID NOT NULL DEFAULT gen_random_uuid();

-- AlterTable
ALTER TABLE "HistoryEntry" ADD COLUMN     "contentHash" TEXT,
ADD COLUMN     "erasedAt" TIMESTAMPTZ(3),
ADD COLUMN     "hash" TEXT,
ADD COLUMN     "nameErasedAt" TIMESTAMPTZ(3),
ADD COLUMN     "nameHash" TEXT,
ADD COLUMN     "nameSalt" TEXT,
ADD COLUMN     "number" BIGINT,
ADD COLUMN     "salt" TEXT;

-- CreateTable
CREATE TABLE "HistoryHead" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "number" BIGINT NOT NULL DEFAULT 0,
    "hash" TEXT NOT NULL,

    CONSTRAINT "HistoryHead_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "HistoryCheck" (
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "number" BIGINT NOT NULL,
    "hash" TEXT NOT NULL,
    "brokenNumber" BIGINT,
    "brokenHow" TEXT,
    "askedBy" TEXT NOT NULL,

    CONSTRAINT "HistoryCheck_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "UploadQuota" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "setBytes" BIGINT NOT NULL,
    "personDailyBytes" BIGINT NOT NULL,
    "installationBytes" BIGINT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "UploadQuota_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "UploadedToday" (
    "accountId" UUID NOT NULL,
    "day" DATE NOT NULL,
    "bytes" BIGINT NOT NULL DEFAULT 0,

    CONSTRAINT "UploadedToday_pkey" PRIMARY KEY ("accountId","day")
);

-- CreateIndex
CREATE INDEX "HistoryCheck_at_idx" ON "HistoryCheck"("at");

-- CreateIndex
CREATE UNIQUE INDEX "Session_id_key" ON "Session"("id");

-- CreateIndex
CREATE UNIQUE INDEX "HistoryEntry_number_key" ON "HistoryEntry"("number");

-- CreateIndex
CREATE INDEX "HistoryEntry_actorId_idx" ON "HistoryEntry"("actorId");

-- CreateIndex
CREATE INDEX "HistoryEntry_subjectId_idx" ON "HistoryEntry"("subjectId");

-- AddForeignKey
ALTER TABLE "UploadedToday" ADD CONSTRAINT "UploadedToday_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- The chain begins before its first link.
INSERT INTO "HistoryHead" ("id", "number", "hash") VALUES (1, 0, repeat('0', 64));
