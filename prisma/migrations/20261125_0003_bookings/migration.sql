-- CreateEnum
CREATE TYPE "BookingOutcome" AS ENUM ('worked', 'missed');

-- CreateEnum
CREATE TYPE "StepMark" AS ENUM ('running', 'done', 'skipped');

-- CreateEnum
CREATE TYPE "DeliveryState" AS ENUM ('waiting', 'sending', 'sent', 'failed', 'dropped');

-- CreateTable
CREATE TABLE "PlanHouse" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "usualHours" BOOLEAN NOT NULL DEFAULT true,
    "hours" JSONB NOT NULL DEFAULT '[]',
    "usualLoudHours" BOOLEAN NOT NULL DEFAULT true,
    "loudHours" JSONB NOT NULL DEFAULT '[]',
    "holidays" JSONB NOT NULL DEFAULT '[]',
    "atRiskWorkingDays" INTEGER NOT NULL DEFAULT 2,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "PlanHouse_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Place" (
    "id" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "capacity" INTEGER NOT NULL DEFAULT 1,
    "allHours" BOOLEAN NOT NULL DEFAULT true,
    "hours" JSONB NOT NULL DEFAULT '[]',
    "retiredAt" TIMESTAMPTZ(3),
    "position" INTEGER NOT NULL DEFAULT 0,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "Place_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "PersonHours" (
    "accountId" UUID NOT NULL,
    "usualHours" BOOLEAN NOT NULL DEFAULT true,
    "hours" JSONB NOT NULL DEFAULT '[]',
    "doesAll" BOOLEAN NOT NULL DEFAULT true,
    "does" TEXT[],
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "PersonHours_pkey" PRIMARY KEY ("accountId")
);

-- CreateTable
CREATE TABLE "Absence" (
    "id" UUID NOT NULL,
    "accountId" UUID,
    "placeId" TEXT,
    "start" TIMESTAMPTZ(3) NOT NULL,
    "finish" TIMESTAMPTZ(3) NOT NULL,
    "why" TEXT NOT NULL DEFAULT '',
    "busyCalendarId" UUID,
    "createdBy" UUID,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Absence_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "BusyCalendar" (
    "id" UUID NOT NULL,
    "accountId" UUID,
    "placeId" TEXT,
    "name" TEXT NOT NULL,
    "importedBy" UUID,
    "importedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "BusyCalendar_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "WorkTemplate" (
    "kind" TEXT NOT NULL,
    "steps" JSONB NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "WorkTemplate_pkey" PRIMARY KEY ("kind")
);

-- CreateTable
CREATE TABLE "StepRecord" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "stepId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "unitId" UUID,
    "unitKind" TEXT NOT NULL,
    "state" "StepMark" NOT NULL,
    "startedAt" TIMESTAMPTZ(3),
    "finishedAt" TIMESTAMPTZ(3),
    "minutes" DOUBLE PRECISION,
    "derived" BOOLEAN NOT NULL DEFAULT false,
    "note" TEXT NOT NULL DEFAULT '',
    "markedBy" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "StepRecord_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "PlanState" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "version" INTEGER NOT NULL DEFAULT 0,
    "acceptedAt" TIMESTAMPTZ(3),
    "acceptedBy" UUID,
    "acceptedByName" TEXT,
    "facts" JSONB NOT NULL DEFAULT '{}',

    CONSTRAINT "PlanState_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Proposal" (
    "id" UUID NOT NULL,
    "planVersion" INTEGER NOT NULL,
    "factsHash" TEXT NOT NULL,
    "content" JSONB NOT NULL,
    "madeBy" UUID,
    "madeAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "acceptedAt" TIMESTAMPTZ(3),

    CONSTRAINT "Proposal_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "Booking" (
    "id" UUID NOT NULL,
    "loanId" UUID NOT NULL,
    "unitId" UUID,
    "stepId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "label" TEXT NOT NULL,
    "session" INTEGER NOT NULL,
    "start" TIMESTAMPTZ(3) NOT NULL,
    "finish" TIMESTAMPTZ(3) NOT NULL,
    "pinned" BOOLEAN NOT NULL DEFAULT false,
    "outcome" "BookingOutcome",
    "cancelledAt" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "Booking_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "BookingTake" (
    "bookingId" UUID NOT NULL,
    "resource" TEXT NOT NULL,
    "lane" INTEGER NOT NULL DEFAULT 1,
    "start" TIMESTAMPTZ(3) NOT NULL,
    "finish" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "BookingTake_pkey" PRIMARY KEY ("bookingId","resource")
);

-- CreateTable
CREATE TABLE "BookingPerson" (
    "bookingId" UUID NOT NULL,
    "accountId" UUID NOT NULL,
    "sequence" INTEGER NOT NULL DEFAULT 0,
    "cancelledAt" TIMESTAMPTZ(3),
    "updatedAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "BookingPerson_pkey" PRIMARY KEY ("bookingId","accountId")
);

-- CreateTable
CREATE TABLE "NotificationChoice" (
    "accountId" UUID NOT NULL,
    "channels" JSONB NOT NULL DEFAULT '{}',
    "quietFrom" TEXT,
    "quietTo" TEXT,
    "webhookUrl" TEXT,
    "webhookSecret" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "NotificationChoice_pkey" PRIMARY KEY ("accountId")
);

-- CreateTable
CREATE TABLE "Delivery" (
    "id" UUID NOT NULL,
    "accountId" UUID NOT NULL,
    "channel" TEXT NOT NULL,
    "about" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "loanId" UUID,
    "sentence" TEXT NOT NULL,
    "state" "DeliveryState" NOT NULL DEFAULT 'waiting',
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "nextAttemptAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "claimedUntil" TIMESTAMPTZ(3),
    "reason" TEXT,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "sentAt" TIMESTAMPTZ(3),

    CONSTRAINT "Delivery_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "CalendarFeed" (
    "id" UUID NOT NULL,
    "accountId" UUID NOT NULL,
    "tokenHash" TEXT NOT NULL,
    "createdAt" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "revokedAt" TIMESTAMPTZ(3),
    "readAt" TIMESTAMPTZ(3),

    CONSTRAINT "CalendarFeed_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "Absence_accountId_finish_idx" ON "Absence"("accountId", "finish");

-- CreateIndex
CREATE INDEX "Absence_placeId_finish_idx" ON "Absence"("placeId", "finish");

-- CreateIndex
CREATE INDEX "Absence_busyCalendarId_idx" ON "Absence"("busyCalendarId");

-- CreateIndex
CREATE INDEX "StepRecord_kind_unitKind_idx" ON "StepRecord"("kind", "unitKind");

-- CreateIndex
CREATE UNIQUE INDEX "StepRecord_loanId_stepId_key" ON "StepRecord"("loanId", "stepId");

-- CreateIndex
CREATE INDEX "Proposal_madeAt_idx" ON "Proposal"("madeAt");

-- CreateIndex
CREATE INDEX "Booking_start_idx" ON "Booking"("start");

-- CreateIndex
CREATE INDEX "Booking_finish_idx" ON "Booking"("finish");

-- CreateIndex
CREATE UNIQUE INDEX "Booking_loanId_stepId_session_key" ON "Booking"("loanId", "stepId", "session");

-- CreateIndex
CREATE UNIQUE INDEX "Booking_id_start_finish_key" ON "Booking"("id", "start", "finish");

-- CreateIndex
CREATE INDEX "BookingTake_resource_finish_idx" ON "BookingTake"("resource", "finish");

-- CreateIndex
CREATE INDEX "BookingPerson_accountId_idx" ON "BookingPerson"("accountId");

-- CreateIndex
CREATE INDEX "Delivery_state_nextAttemptAt_idx" ON "Delivery"("state", "nextAttemptAt");

-- CreateIndex
CREATE UNIQUE INDEX "Delivery_accountId_channel_about_key" ON "Delivery"("accountId", "channel", "about");

-- CreateIndex
CREATE UNIQUE INDEX "CalendarFeed_tokenHash_key" ON "CalendarFeed"("tokenHash");

-- CreateIndex
CREATE INDEX "CalendarFeed_accountId_idx" ON "CalendarFeed"("accountId");

-- AddForeignKey
ALTER TABLE "PersonHours" ADD CONSTRAINT "PersonHours_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Absence" ADD CONSTRAINT "Absence_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Absence" ADD CONSTRAINT "Absence_placeId_fkey" FOREIGN KEY ("placeId") REFERENCES "Place"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Absence" ADD CONSTRAINT "Absence_busyCalendarId_fkey" FOREIGN KEY ("busyCalendarId") REFERENCES "BusyCalendar"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "StepRecord" ADD CONSTRAINT "StepRecord_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Booking" ADD CONSTRAINT "Booking_loanId_fkey" FOREIGN KEY ("loanId") REFERENCES "Loan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Booking" ADD CONSTRAINT "Booking_unitId_fkey" FOREIGN KEY ("unitId") REFERENCES "Unit"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "BookingTake" ADD CONSTRAINT "BookingTake_bookingId_start_finish_fkey" FOREIGN KEY ("bookingId", "start", "finish") REFERENCES "Booking"("id", "start", "finish") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "BookingPerson" ADD CONSTRAINT "BookingPerson_bookingId_fkey" FOREIGN KEY ("bookingId") REFERENCES "Booking"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "BookingPerson" ADD CONSTRAINT "BookingPerson_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "NotificationChoice" ADD CONSTRAINT "NotificationChoice_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "Delivery" ADD CONSTRAINT "Delivery_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "CalendarFeed" ADD CONSTRAINT "CalendarFeed_accountId_fkey" FOREIGN KEY ("accountId") REFERENCES "Account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- Whatever is planned, by whomever, on however many servers: one lane of a person, a place or a unit is never taken
-- twice at once. Deferred, so that one plan may be exchanged for another in one transaction.
CREATE EXTENSION IF NOT EXISTS btree_gist;
ALTER TABLE "BookingTake" ADD CONSTRAINT "BookingTake_never_twice"
  EXCLUDE USING gist ("resource" WITH =, "lane" WITH =, tstzrange("start", "finish") WITH &&)
  DEFERRABLE INITIALLY DEFERRED;
ALTER TABLE "BookingTake" ADD CONSTRAINT "BookingTake_lane_is_one_or_more" CHECK ("lane" >= 1);
ALTER TABLE "Booking" ADD CONSTRAINT "Booking_takes_time" CHECK ("start" < "finish");
ALTER TABLE "Absence" ADD CONSTRAINT "Absence_takes_time" CHECK ("start" < "finish");
ALTER TABLE "Absence" ADD CONSTRAINT "Absence_of_one" CHECK (num_nonnulls("accountId", "placeId") = 1);
ALTER TABLE "BusyCalendar" ADD CONSTRAINT "BusyCalendar_of_one" CHECK (num_nonnulls("accountId", "placeId") = 1);

-- What every house has: its calendar, the rig, the listening room, and a plan that nobody has accepted yet.
INSERT INTO "PlanHouse" ("id") VALUES (1);
INSERT INTO "PlanState" ("id") VALUES (1);
INSERT INTO "Place" ("id", "name", "position") VALUES ('rig', 'the rig', 0), ('room', 'the listening room', 1);
