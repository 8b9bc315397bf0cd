-- AlterTable
ALTER TABLE "Computation" ADD COLUMN     "askedBy" UUID,
ADD COLUMN     "turn" INTEGER NOT NULL DEFAULT 1;

-- AlterTable
ALTER TABLE "OutboxRequest" ADD COLUMN     "priority" INTEGER,
ADD COLUMN     "trace" TEXT;

-- CreateIndex
CREATE INDEX "Computation_state_turn_idx" ON "Computation"("state", "turn");

-- What runs now is no memory: it lies beside the tables that are backed up and restored.
CREATE SCHEMA "running";

-- One row for each process at work, written again every few seconds, old ones are cleared.
CREATE UNLOGGED TABLE "running"."ProcessSign" (
    "id" UUID PRIMARY KEY,
    "role" TEXT NOT NULL,
    "machine" TEXT NOT NULL,
    "pid" INTEGER NOT NULL,
    "version" TEXT NOT NULL,
    "algorithm" TEXT NOT NULL,
    "node" TEXT NOT NULL,
    "threads" INTEGER NOT NULL,
    "memoryBytes" BIGINT NOT NULL,
    "startedAt" TIMESTAMPTZ NOT NULL,
    "seenAt" TIMESTAMPTZ NOT NULL
);

-- The code a first set-up from another machine must show: the same whichever server it reaches.
CREATE TABLE "running"."FirstRun" (
    "id" INTEGER PRIMARY KEY DEFAULT 1 CHECK ("id" = 1),
    "code" TEXT NOT NULL
);
