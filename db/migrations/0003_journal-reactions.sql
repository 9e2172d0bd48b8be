CREATE TABLE `round_marks` (
	`id` text PRIMARY KEY NOT NULL,
	`round_id` text NOT NULL,
	`mark` text NOT NULL,
	`at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	FOREIGN KEY (`round_id`) REFERENCES `rounds`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "round_marks_mark" CHECK("round_marks"."mark" IN ('started', 'paused', 'resumed', 'finished'))
) STRICT;
--> statement-breakpoint
CREATE INDEX `round_marks_round` ON `round_marks` (`round_id`,`at`);--> statement-breakpoint
CREATE TABLE `word_choices` (
	`address` text PRIMARY KEY NOT NULL,
	`choice` text NOT NULL,
	`remind_day_before` integer NOT NULL,
	`token` text NOT NULL,
	`changed_at` integer NOT NULL,
	CONSTRAINT "word_choices_choice" CHECK("word_choices"."choice" IN ('each', 'digest', 'none'))
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `word_choices_token_unique` ON `word_choices` (`token`);--> statement-breakpoint
CREATE TABLE `word_templates` (
	`template` text PRIMARY KEY NOT NULL,
	`subject` text NOT NULL,
	`body` text NOT NULL,
	`changed_by` text NOT NULL,
	`changed_at` integer NOT NULL
) STRICT;
--> statement-breakpoint
ALTER TABLE `drivers` ADD `email` text DEFAULT '' NOT NULL;--> statement-breakpoint
PRAGMA foreign_keys=OFF;--> statement-breakpoint
CREATE TABLE `__new_outbox` (
	`id` text PRIMARY KEY NOT NULL,
	`recipient` text NOT NULL,
	`person` text DEFAULT '' NOT NULL,
	`template` text NOT NULL,
	`facts` text NOT NULL,
	`created_at` integer NOT NULL,
	`not_before_at` integer NOT NULL,
	`mail_id` text,
	`leased_until_at` integer,
	`attempts` integer DEFAULT 0 NOT NULL,
	`sent_at` integer,
	`parked_at` integer,
	`unsaid` text,
	`error` text,
	CONSTRAINT "outbox_unsaid" CHECK("__new_outbox"."unsaid" IS NULL OR "__new_outbox"."unsaid" IN ('no-address', 'not-wanted', 'out-of-date'))
) STRICT;
--> statement-breakpoint
INSERT INTO `__new_outbox`("id", "recipient", "template", "facts", "created_at", "not_before_at", "sent_at", "error") SELECT "id", "recipient", "template", "facts", "created_at", "not_before_at", "sent_at", "error" FROM `outbox`;--> statement-breakpoint
DROP TABLE `outbox`;--> statement-breakpoint
ALTER TABLE `__new_outbox` RENAME TO `outbox`;--> statement-breakpoint
PRAGMA foreign_keys=ON;--> statement-breakpoint
CREATE INDEX `outbox_due` ON `outbox` (`sent_at`,`not_before_at`);--> statement-breakpoint
CREATE INDEX `outbox_recipient` ON `outbox` (`recipient`,`created_at`);--> statement-breakpoint
ALTER TABLE `parked_reactions` ADD `subject` text DEFAULT '' NOT NULL;--> statement-breakpoint
CREATE INDEX `parked_reactions_subject` ON `parked_reactions` (`reaction`,`subject`,`seq`);