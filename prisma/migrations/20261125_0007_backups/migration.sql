-- CreateEnum
CREATE TYPE "BackupState" AS ENUM ('running', 'done', 'failed');

-- AlterTable
ALTER TABLE "Account" ADD COLUMN     "removedAt" TIMESTAMPTZ(3);

-- CreateTable
CREATE TABLE "BackupPlan" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "nightly" BOOLEAN NOT NULL DEFAULT true,
    "at" TEXT NOT NULL DEFAULT '03:00',
    "keepDaily" INTEGER NOT NULL DEFAULT 7,
    "keepWeekly" INTEGER NOT NULL DEFAULT 4,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "BackupPlan_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "BackupRun" (
    "id" UUID NOT NULL,
    "cause" TEXT NOT NULL,
    "askedBy" TEXT NOT NULL,
    "state" "BackupState" NOT NULL DEFAULT 'running',
    "fileName" TEXT,
    "bytes" BIGINT,
    "reason" TEXT,
    "startedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "finishedAt" TIMESTAMPTZ(3),

    CONSTRAINT "BackupRun_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "BackupRun_startedAt_idx" ON "BackupRun"("startedAt");
