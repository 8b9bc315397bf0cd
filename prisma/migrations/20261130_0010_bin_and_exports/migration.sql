-- CreateTable
CREATE TABLE "BinEntry" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "subjectId" TEXT NOT NULL,
    "loanId" UUID,
    "unitId" UUID,
    "title" TEXT NOT NULL,
    "within" TEXT NOT NULL DEFAULT '',
    "deletedBy" UUID,
    "deletedByName" TEXT NOT NULL,
    "deletedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,
    "contents" JSONB NOT NULL,
    "restoredAt" TIMESTAMPTZ(3),
    "restoredByName" TEXT,

    CONSTRAINT "BinEntry_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "AccountExport" (
    "id" UUID NOT NULL,
    "accountId" UUID NOT NULL,
    "scope" TEXT NOT NULL,
    "state" "BackupState" NOT NULL DEFAULT 'running',
    "progress" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "fileKey" TEXT,
    "bytes" BIGINT,
    "reason" TEXT,
    "askedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "finishedAt" TIMESTAMPTZ(3),
    "expiresAt" TIMESTAMPTZ(3),

    CONSTRAINT "AccountExport_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "BinEntry_expiresAt_idx" ON "BinEntry"("expiresAt");

-- CreateIndex
CREATE INDEX "BinEntry_loanId_idx" ON "BinEntry"("loanId");

-- CreateIndex
CREATE INDEX "AccountExport_accountId_askedAt_idx" ON "AccountExport"("accountId", "askedAt");

-- AddForeignKey
ALTER TABLE "AccountExport" ADD CONSTRAINT "AccountExport_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;
