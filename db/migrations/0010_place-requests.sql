CREATE TABLE `place_requests` (
	`id` text PRIMARY KEY NOT NULL,
	`name` text NOT NULL,
	`contact` text NOT NULL,
	`place` text NOT NULL,
	`event_kind` text NOT NULL,
	`event_ends_at` integer NOT NULL,
	`expected_bags` real NOT NULL,
	`until_day` text NOT NULL,
	`remarks` text DEFAULT '' NOT NULL,
	`requested_at` integer NOT NULL,
	`answered_at` integer,
	`answered_by` text,
	CONSTRAINT "place_requests_event" CHECK("place_requests"."event_kind" IN ('festival', 'market-day', 'delivery-peak', 'clearance', 'clean-up', 'other')),
	CONSTRAINT "place_requests_bags" CHECK("place_requests"."expected_bags" > 0),
	CONSTRAINT "place_requests_until" CHECK("place_requests"."until_day" GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]')
) STRICT;
--> statement-breakpoint
CREATE INDEX `place_requests_open` ON `place_requests` (`answered_at`,`requested_at`);