CREATE TABLE `weigh_in_confirmations` (
	`weigh_in_id` text PRIMARY KEY NOT NULL,
	`confirmed_by` text NOT NULL,
	`confirmed_at` integer NOT NULL,
	FOREIGN KEY (`weigh_in_id`) REFERENCES `weigh_ins`(`id`) ON UPDATE no action ON DELETE cascade
) STRICT;
