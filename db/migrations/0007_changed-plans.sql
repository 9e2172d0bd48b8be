ALTER TABLE `plans` ADD `base_id` text REFERENCES plans(id) ON DELETE SET NULL;--> statement-breakpoint
ALTER TABLE `plans` ADD `changes` text;--> statement-breakpoint
ALTER TABLE `plans` ADD `wishes` text;