-- AlterTable
ALTER TABLE "Verdict" ADD COLUMN     "draftVersion" INTEGER NOT NULL DEFAULT 0,
ADD COLUMN     "outline" JSONB,
ADD COLUMN     "suggestions" JSONB NOT NULL DEFAULT '[]';

-- AlterTable
ALTER TABLE "SignOff" ADD COLUMN     "draftVersion" INTEGER NOT NULL DEFAULT 0;

-- CreateTable
CREATE TABLE "DraftDocument" (
    "loanId" UUID NOT NULL,
    "state" BYTEA NOT NULL,
    "compactedTo" INTEGER NOT NULL DEFAULT 0,
    "number" INTEGER NOT NULL DEFAULT 0,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "DraftDocument_pkey" PRIMARY KEY ("loanId")
);

-- CreateTable
CREATE TABLE "DraftUpdate" (
    "loanId" UUID NOT NULL,
    "number" INTEGER NOT NULL,
    "update" BYTEA NOT NULL,
    "accountId" UUID,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "DraftUpdate_pkey" PRIMARY KEY ("loanId","number")
);

-- CreateTable
CREATE TABLE "DraftHouse" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "outline" JSONB,
    "wordsPerMinute" INTEGER NOT NULL DEFAULT 150,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "DraftHouse_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "DraftComment" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "authorId" UUID NOT NULL,
    "replyTo" UUID,
    "anchor" JSONB,
    "quote" TEXT NOT NULL DEFAULT '',
    "figure" JSONB,
    "body" TEXT NOT NULL,
    "replacement" TEXT,
    "state" TEXT NOT NULL DEFAULT 'open',
    "decidedByName" TEXT,
    "decidedAt" TIMESTAMPTZ(3),
    "mentions" TEXT[],
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "DraftComment_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "PreviewLink" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "tokenHash" TEXT NOT NULL,
    "kind" TEXT NOT NULL DEFAULT 'private',
    "name" TEXT NOT NULL DEFAULT '',
    "hidden" TEXT[],
    "createdBy" UUID,
    "createdByName" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expiresAt" TIMESTAMPTZ(3) NOT NULL,
    "revokedAt" TIMESTAMPTZ(3),
    "closedAt" TIMESTAMPTZ(3),
    "views" INTEGER NOT NULL DEFAULT 0,
    "lastViewedAt" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "PreviewLink_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "PreviewVote" (
    "linkId" UUID NOT NULL,
    "visitorHash" TEXT NOT NULL,
    "name" TEXT NOT NULL DEFAULT '',
    "publish" BOOLEAN NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "PreviewVote_pkey" PRIMARY KEY ("linkId","visitorHash")
);

-- CreateTable
CREATE TABLE "PreviewComment" (
    "id" UUID NOT NULL,
    "linkId" UUID NOT NULL,
    "visitorHash" TEXT NOT NULL,
    "name" TEXT NOT NULL DEFAULT '',
    "part" TEXT NOT NULL DEFAULT '',
    "body" TEXT NOT NULL,
    "answer" TEXT NOT NULL DEFAULT '',
    "answeredByName" TEXT,
    "answeredAt" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "PreviewComment_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "DraftComment_loanId_createdAt_idx" ON "DraftComment"("loanId", "createdAt");

-- CreateIndex
CREATE UNIQUE INDEX "PreviewLink_tokenHash_key" ON "PreviewLink"("tokenHash");

-- CreateIndex
CREATE INDEX "PreviewLink_loanId_idx" ON "PreviewLink"("loanId");

-- CreateIndex
CREATE INDEX "PreviewComment_linkId_createdAt_idx" ON "PreviewComment"("linkId", "createdAt");

-- AddForeignKey
ALTER TABLE "DraftDocument" ADD CONSTRAINT "DraftDocument_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "DraftUpdate" ADD CONSTRAINT "DraftUpdate_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "DraftDocument"("loanId") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "DraftComment" ADD CONSTRAINT "DraftComment_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "DraftComment" ADD CONSTRAINT "DraftComment_authorId_fkey" FOREIGN KEY ("authorId") REFERENCES "Account"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "DraftComment" ADD CONSTRAINT "DraftComment_replyTo_fkey" FOREIGN KEY ("replyTo") REFERENCES "DraftComment"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PreviewLink" ADD CONSTRAINT "PreviewLink_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PreviewVote" ADD CONSTRAINT "PreviewVote_linkId_fkey" FOREIGN KEY ("linkId") REFERENCES "PreviewLink"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "PreviewComment" ADD CONSTRAINT "PreviewComment_linkId_fkey" FOREIGN KEY ("linkId") REFERENCES "PreviewLink"("id") ON DELETE CASCADE ON UPDATE CASCADE;
