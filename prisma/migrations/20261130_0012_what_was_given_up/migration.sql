-- CreateTable
CREATE TABLE "SetAsideJob" (
    "key" TEXT NOT NULL,
    "job" TEXT NOT NULL,
    "payload" JSONB NOT NULL,
    "reason" TEXT NOT NULL,
    "times" INTEGER NOT NULL DEFAULT 1,
    "since" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "SetAsideJob_pkey" PRIMARY KEY ("key")
);
