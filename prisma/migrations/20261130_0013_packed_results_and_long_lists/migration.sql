-- DropIndex
DROP INDEX "HistoryEntry_at_idx";

-- AlterTable
ALTER TABLE "Computation" ADD COLUMN     "findings" JSONB,
ADD COLUMN     "packedResult" BYTEA,
ADD COLUMN     "quality" JSONB;

-- CreateIndex
CREATE INDEX "HistoryEntry_at_id_idx" ON "HistoryEntry"("at", "id");

-- What pages ask of many results at once.
UPDATE "Computation" SET "quality" = "result" -> 'quality', "findings" = "result" -> 'findings' WHERE "result" IS NOT NULL;

-- The order of the list of loans: open ones first by their return date, then the closed ones, the latest first.
-- `libs/store/loanSearch.ts` asks by these very expressions.
CREATE INDEX "Loan_list_idx" ON "Loan" ((("stage" = 'closed')), ((CASE WHEN "returnBy" IS NULL THEN 1000000
  WHEN "stage" = 'closed' THEN DATE '2000-01-01' - "returnBy" ELSE "returnBy" - DATE '2000-01-01' END)), "id");

-- What is out, the latest first.
CREATE INDEX "Loan_published_idx" ON "Loan" ("publishedAt" DESC, "id" DESC) WHERE "publishedAt" IS NOT NULL;
CREATE INDEX "Publication_out_idx" ON "Publication" ("publishedAt" DESC, "id" DESC) WHERE "state" = 'published';
