PRAGMA foreign_keys=OFF;--> statement-breakpoint
CREATE TABLE `__new_access_tokens` (
	`hash` text PRIMARY KEY NOT NULL,
	`role` text NOT NULL,
	`subject_id` text NOT NULL,
	`purpose` text NOT NULL,
	`label` text DEFAULT '' NOT NULL,
	`created_at` integer NOT NULL,
	`expires_at` integer NOT NULL,
	`revoked_at` integer,
	CONSTRAINT "access_tokens_role" CHECK("__new_access_tokens"."role" IN ('coordinator', 'driver', 'donor')),
	CONSTRAINT "access_tokens_purpose" CHECK("__new_access_tokens"."purpose" IN ('link', 'session', 'calendar')),
	CONSTRAINT "access_tokens_span" CHECK("__new_access_tokens"."created_at" < "__new_access_tokens"."expires_at")
) STRICT;
--> statement-breakpoint
INSERT INTO `__new_access_tokens`("hash", "role", "subject_id", "purpose", "label", "created_at", "expires_at", "revoked_at") SELECT "hash", "role", "subject_id", "purpose", "label", "created_at", "expires_at", "revoked_at" FROM `access_tokens`;--> statement-breakpoint
DROP TABLE `access_tokens`;--> statement-breakpoint
ALTER TABLE `__new_access_tokens` RENAME TO `access_tokens`;--> statement-breakpoint
PRAGMA foreign_keys=ON;--> statement-breakpoint
CREATE INDEX `access_tokens_subject` ON `access_tokens` (`role`,`subject_id`);