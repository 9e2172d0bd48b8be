CREATE TABLE `worth_runs` (
	`id` text PRIMARY KEY NOT NULL,
	`started_at` integer NOT NULL,
	`started_by` text NOT NULL,
	`wanted` text NOT NULL,
	`years` text NOT NULL,
	`took_s` integer NOT NULL,
	`outcome` text,
	CONSTRAINT "worth_runs_outcome" CHECK("worth_runs"."outcome" IS NULL OR "worth_runs"."outcome" IN ('done', 'stopped', 'failed')),
	CONSTRAINT "worth_runs_took" CHECK("worth_runs"."took_s" >= 0)
) STRICT;
--> statement-breakpoint
CREATE INDEX `worth_runs_started` ON `worth_runs` (`started_at`);