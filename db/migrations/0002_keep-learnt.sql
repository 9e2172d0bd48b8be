CREATE TABLE `pooled_state` (
	`id` integer PRIMARY KEY NOT NULL,
	`seq` integer NOT NULL,
	`record` text NOT NULL,
	CONSTRAINT "pooled_state_one" CHECK("pooled_state"."id" = 1)
) STRICT;
--> statement-breakpoint
CREATE TABLE `site_states` (
	`site_id` text PRIMARY KEY NOT NULL,
	`record` text NOT NULL,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade
) STRICT;
