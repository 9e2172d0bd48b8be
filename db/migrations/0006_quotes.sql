CREATE TABLE `quotes` (
	`id` text PRIMARY KEY NOT NULL,
	`site_id` text NOT NULL,
	`asked_by` text NOT NULL,
	`asked_at` integer NOT NULL,
	`expires_at` integer NOT NULL,
	`changes_id` text,
	`wanted` text NOT NULL,
	`slots` text NOT NULL,
	`booking_id` text,
	`fact_id` text,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`changes_id`) REFERENCES `bookings`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`booking_id`) REFERENCES `bookings`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "quotes_hold" CHECK("quotes"."asked_at" < "quotes"."expires_at")
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `quotes_fact_id_unique` ON `quotes` (`fact_id`);--> statement-breakpoint
CREATE INDEX `quotes_asked` ON `quotes` (`asked_at`);