CREATE TABLE `access_tokens` (
	`hash` text PRIMARY KEY NOT NULL,
	`role` text NOT NULL,
	`subject_id` text NOT NULL,
	`purpose` text NOT NULL,
	`label` text DEFAULT '' NOT NULL,
	`created_at` integer NOT NULL,
	`expires_at` integer NOT NULL,
	`revoked_at` integer,
	CONSTRAINT "access_tokens_role" CHECK("access_tokens"."role" IN ('coordinator', 'driver', 'donor')),
	CONSTRAINT "access_tokens_purpose" CHECK("access_tokens"."purpose" IN ('link', 'session')),
	CONSTRAINT "access_tokens_span" CHECK("access_tokens"."created_at" < "access_tokens"."expires_at")
) STRICT;
--> statement-breakpoint
CREATE INDEX `access_tokens_subject` ON `access_tokens` (`role`,`subject_id`);--> statement-breakpoint
CREATE TABLE `bookings` (
	`id` text PRIMARY KEY NOT NULL,
	`site_id` text NOT NULL,
	`state` text NOT NULL,
	`from_at` integer NOT NULL,
	`until_at` integer NOT NULL,
	`surge_id` text,
	`remarks` text DEFAULT '' NOT NULL,
	`hazards` text DEFAULT '' NOT NULL,
	`requested_at` integer NOT NULL,
	`requested_by` text NOT NULL,
	`idempotency_key` text,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`surge_id`) REFERENCES `surges`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "bookings_state" CHECK("bookings"."state" IN ('waiting', 'confirmed', 'done', 'cancelled')),
	CONSTRAINT "bookings_window" CHECK("bookings"."from_at" < "bookings"."until_at")
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `bookings_idempotency_key_unique` ON `bookings` (`idempotency_key`);--> statement-breakpoint
CREATE INDEX `bookings_site` ON `bookings` (`site_id`);--> statement-breakpoint
CREATE TABLE `closures` (
	`id` text PRIMARY KEY NOT NULL,
	`site_id` text NOT NULL,
	`from_day` text NOT NULL,
	`until_day` text NOT NULL,
	`reason` text DEFAULT '' NOT NULL,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade,
	CONSTRAINT "closures_days" CHECK("closures"."from_day" GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]' AND "closures"."until_day" GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]' AND "closures"."from_day" <= "closures"."until_day")
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `closures_span` ON `closures` (`site_id`,`from_day`,`until_day`);--> statement-breakpoint
CREATE TABLE `contacts` (
	`id` text PRIMARY KEY NOT NULL,
	`donor_id` text NOT NULL,
	`site_id` text,
	`position` integer NOT NULL,
	`name` text NOT NULL,
	`phone` text DEFAULT '' NOT NULL,
	`email` text DEFAULT '' NOT NULL,
	FOREIGN KEY (`donor_id`) REFERENCES `donors`(`id`) ON UPDATE no action ON DELETE cascade,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade
) STRICT;
--> statement-breakpoint
CREATE INDEX `contacts_donor` ON `contacts` (`donor_id`);--> statement-breakpoint
CREATE INDEX `contacts_site` ON `contacts` (`site_id`);--> statement-breakpoint
CREATE TABLE `containers` (
	`id` text PRIMARY KEY NOT NULL,
	`site_id` text NOT NULL,
	`kind` text NOT NULL,
	`count` integer NOT NULL,
	`litres_each` real NOT NULL,
	`from_day` text,
	`until_day` text,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade,
	CONSTRAINT "containers_kind" CHECK("containers"."kind" IN ('sack', 'bulk-bag', 'cage', 'wheeled-bin', 'crate')),
	CONSTRAINT "containers_amounts" CHECK("containers"."count" > 0 AND "containers"."litres_each" > 0)
) STRICT;
--> statement-breakpoint
CREATE INDEX `containers_site` ON `containers` (`site_id`);--> statement-breakpoint
CREATE TABLE `donors` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`name` text NOT NULL
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `donors_external_key_unique` ON `donors` (`external_key`);--> statement-breakpoint
CREATE TABLE `drivers` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`name` text NOT NULL,
	`cost_micros_per_hour` integer NOT NULL,
	CONSTRAINT "drivers_cost" CHECK("drivers"."cost_micros_per_hour" >= 0)
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `drivers_external_key_unique` ON `drivers` (`external_key`);--> statement-breakpoint
CREATE TABLE `fill_reports` (
	`id` text PRIMARY KEY NOT NULL,
	`site_id` text NOT NULL,
	`at` integer NOT NULL,
	`fraction` real NOT NULL,
	`reported_by` text NOT NULL,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "fill_reports_fraction" CHECK("fill_reports"."fraction" >= 0 AND "fill_reports"."fraction" <= 2)
) STRICT;
--> statement-breakpoint
CREATE INDEX `fill_reports_site` ON `fill_reports` (`site_id`,`at`);--> statement-breakpoint
CREATE TABLE `grades` (
	`grade` text PRIMARY KEY NOT NULL,
	`name` text NOT NULL,
	`buy_price_micros_per_kg` integer NOT NULL
) STRICT;
--> statement-breakpoint
CREATE TABLE `journal` (
	`seq` integer PRIMARY KEY AUTOINCREMENT NOT NULL,
	`at` integer NOT NULL,
	`kind` text NOT NULL,
	`subject` text NOT NULL,
	`actor` text NOT NULL,
	`facts` text NOT NULL
) STRICT;
--> statement-breakpoint
CREATE INDEX `journal_subject` ON `journal` (`subject`,`seq`);--> statement-breakpoint
CREATE TABLE `load_weigh_ins` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`at` integer NOT NULL,
	`net_g` integer NOT NULL,
	`round_id` text,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	FOREIGN KEY (`round_id`) REFERENCES `rounds`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "load_weigh_ins_net" CHECK("load_weigh_ins"."net_g" >= 0)
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `load_weigh_ins_external_key_unique` ON `load_weigh_ins` (`external_key`);--> statement-breakpoint
CREATE TABLE `map_layers` (
	`name` text PRIMARY KEY NOT NULL,
	`format` text NOT NULL,
	`content` text NOT NULL,
	CONSTRAINT "map_layers_format" CHECK("map_layers"."format" IN ('osm-xml', 'geojson'))
) STRICT;
--> statement-breakpoint
CREATE TABLE `missed_stops` (
	`id` text PRIMARY KEY NOT NULL,
	`site_id` text NOT NULL,
	`stop_id` text,
	`at` integer NOT NULL,
	`reason` text NOT NULL,
	`note` text DEFAULT '' NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`stop_id`) REFERENCES `stops`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "missed_stops_reason" CHECK("missed_stops"."reason" IN ('closed', 'nothing-there', 'no-access', 'unsafe-contents', 'van-full', 'other'))
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `missed_stops_stop_id_unique` ON `missed_stops` (`stop_id`);--> statement-breakpoint
CREATE INDEX `missed_stops_site` ON `missed_stops` (`site_id`,`at`);--> statement-breakpoint
CREATE TABLE `opening_hours` (
	`site_id` text NOT NULL,
	`weekday` integer NOT NULL,
	`opens_minute` integer NOT NULL,
	`closes_minute` integer NOT NULL,
	PRIMARY KEY(`site_id`, `weekday`, `opens_minute`),
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade,
	CONSTRAINT "opening_hours_weekday" CHECK("opening_hours"."weekday" BETWEEN 1 AND 7),
	CONSTRAINT "opening_hours_order" CHECK("opening_hours"."opens_minute" >= 0 AND "opening_hours"."opens_minute" < "opening_hours"."closes_minute" AND "opening_hours"."closes_minute" <= 1440)
) STRICT;
--> statement-breakpoint
CREATE TABLE `outbox` (
	`id` text PRIMARY KEY NOT NULL,
	`recipient` text NOT NULL,
	`template` text NOT NULL,
	`facts` text NOT NULL,
	`created_at` integer NOT NULL,
	`not_before_at` integer NOT NULL,
	`sent_at` integer,
	`error` text
) STRICT;
--> statement-breakpoint
CREATE TABLE `parked_reactions` (
	`reaction` text NOT NULL,
	`seq` integer NOT NULL,
	`attempts` integer NOT NULL,
	`next_at` integer,
	`error` text NOT NULL,
	PRIMARY KEY(`reaction`, `seq`),
	FOREIGN KEY (`seq`) REFERENCES `journal`(`seq`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE TABLE `pickup_rules` (
	`id` text PRIMARY KEY NOT NULL,
	`site_id` text NOT NULL,
	`rrule` text NOT NULL,
	`starts_local` text NOT NULL,
	`window_s` integer NOT NULL,
	`commitment` text NOT NULL,
	`except_days` text NOT NULL,
	`extra_days` text NOT NULL,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade,
	CONSTRAINT "pickup_rules_commitment" CHECK("pickup_rules"."commitment" IN ('must', 'usual')),
	CONSTRAINT "pickup_rules_window" CHECK("pickup_rules"."window_s" > 0 AND "pickup_rules"."window_s" <= 86400)
) STRICT;
--> statement-breakpoint
CREATE INDEX `pickup_rules_site` ON `pickup_rules` (`site_id`);--> statement-breakpoint
CREATE TABLE `plans` (
	`id` text PRIMARY KEY NOT NULL,
	`state` text NOT NULL,
	`first_day` text NOT NULL,
	`days` integer NOT NULL,
	`seed` integer NOT NULL,
	`iterations` integer NOT NULL,
	`input_hash` text NOT NULL,
	`cost_micros` integer NOT NULL,
	`body` text NOT NULL,
	`created_at` integer NOT NULL,
	`published_at` integer,
	`superseded_at` integer,
	CONSTRAINT "plans_state_word" CHECK("plans"."state" IN ('draft', 'published', 'superseded')),
	CONSTRAINT "plans_days" CHECK("plans"."first_day" GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]' AND "plans"."days" BETWEEN 1 AND 60)
) STRICT;
--> statement-breakpoint
CREATE INDEX `plans_state` ON `plans` (`state`,`created_at`);--> statement-breakpoint
CREATE UNIQUE INDEX `plans_one_published` ON `plans` (`state`) WHERE state = 'published';--> statement-breakpoint
CREATE TABLE `product_grades` (
	`product_id` text NOT NULL,
	`grade` text NOT NULL,
	`share` real NOT NULL,
	PRIMARY KEY(`product_id`, `grade`),
	FOREIGN KEY (`product_id`) REFERENCES `products`(`id`) ON UPDATE no action ON DELETE cascade,
	FOREIGN KEY (`grade`) REFERENCES `grades`(`grade`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "product_grades_share" CHECK("product_grades"."share" > 0 AND "product_grades"."share" <= 1)
) STRICT;
--> statement-breakpoint
CREATE TABLE `production_days` (
	`product_id` text NOT NULL,
	`day` text NOT NULL,
	`units` integer NOT NULL,
	`done_at` integer,
	PRIMARY KEY(`day`, `product_id`),
	FOREIGN KEY (`product_id`) REFERENCES `products`(`id`) ON UPDATE no action ON DELETE cascade,
	CONSTRAINT "production_days_day" CHECK("production_days"."day" GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]'),
	CONSTRAINT "production_days_units" CHECK("production_days"."units" >= 0)
) STRICT;
--> statement-breakpoint
CREATE TABLE `products` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`name` text NOT NULL,
	`film_g_per_unit` integer NOT NULL,
	`yield_share` real NOT NULL,
	`off_cut_return_share` real NOT NULL,
	CONSTRAINT "products_film" CHECK("products"."film_g_per_unit" > 0),
	CONSTRAINT "products_yield" CHECK("products"."yield_share" > 0 AND "products"."yield_share" <= 1),
	CONSTRAINT "products_off_cut" CHECK("products"."off_cut_return_share" BETWEEN 0 AND 1)
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `products_external_key_unique` ON `products` (`external_key`);--> statement-breakpoint
CREATE TABLE `reaction_cursors` (
	`reaction` text PRIMARY KEY NOT NULL,
	`seq` integer NOT NULL
) STRICT;
--> statement-breakpoint
CREATE TABLE `rounds` (
	`id` text PRIMARY KEY NOT NULL,
	`plan_id` text NOT NULL,
	`shift_id` text NOT NULL,
	`van_id` text NOT NULL,
	`driver_id` text NOT NULL,
	`day` text NOT NULL,
	`starts_at` integer NOT NULL,
	`ends_at` integer NOT NULL,
	`distance_m` integer NOT NULL,
	`cost_micros` integer NOT NULL,
	FOREIGN KEY (`plan_id`) REFERENCES `plans`(`id`) ON UPDATE no action ON DELETE cascade,
	FOREIGN KEY (`shift_id`) REFERENCES `shifts`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`van_id`) REFERENCES `vans`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`driver_id`) REFERENCES `drivers`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "rounds_order" CHECK("rounds"."starts_at" <= "rounds"."ends_at" AND "rounds"."distance_m" >= 0)
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `rounds_shift` ON `rounds` (`plan_id`,`shift_id`);--> statement-breakpoint
CREATE TABLE `shifts` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`van_id` text NOT NULL,
	`driver_id` text NOT NULL,
	`day` text NOT NULL,
	`starts_minute` integer NOT NULL,
	`ends_minute` integer NOT NULL,
	`cancelled_at` integer,
	FOREIGN KEY (`van_id`) REFERENCES `vans`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`driver_id`) REFERENCES `drivers`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "shifts_day_form" CHECK("shifts"."day" GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]'),
	CONSTRAINT "shifts_order" CHECK("shifts"."starts_minute" >= 0 AND "shifts"."starts_minute" < "shifts"."ends_minute" AND "shifts"."ends_minute" <= 1440)
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `shifts_external_key_unique` ON `shifts` (`external_key`);--> statement-breakpoint
CREATE INDEX `shifts_day` ON `shifts` (`day`);--> statement-breakpoint
CREATE TABLE `site_grades` (
	`site_id` text NOT NULL,
	`grade` text NOT NULL,
	`share` real NOT NULL,
	PRIMARY KEY(`site_id`, `grade`),
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade,
	FOREIGN KEY (`grade`) REFERENCES `grades`(`grade`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "site_grades_share" CHECK("site_grades"."share" > 0 AND "site_grades"."share" <= 1)
) STRICT;
--> statement-breakpoint
CREATE TABLE `sites` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`donor_id` text NOT NULL,
	`name` text NOT NULL,
	`kind` text NOT NULL,
	`lat` real NOT NULL,
	`lon` real NOT NULL,
	`address` text DEFAULT '' NOT NULL,
	`district` text DEFAULT '' NOT NULL,
	`access_notes` text DEFAULT '' NOT NULL,
	`handling_notes` text DEFAULT '' NOT NULL,
	`service_s` integer NOT NULL,
	`declared_bags_per_week` real NOT NULL,
	`bag_g` real,
	`active_from_day` text,
	`active_until_day` text,
	`registered_at` integer NOT NULL,
	FOREIGN KEY (`donor_id`) REFERENCES `donors`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "sites_kind" CHECK("sites"."kind" IN ('shop', 'wholesaler', 'market', 'school', 'office', 'drop-off', 'one-off')),
	CONSTRAINT "sites_position" CHECK("sites"."lat" BETWEEN -90 AND 90 AND "sites"."lon" BETWEEN -180 AND 180),
	CONSTRAINT "sites_amounts" CHECK("sites"."service_s" >= 0 AND "sites"."declared_bags_per_week" >= 0 AND ("sites"."bag_g" IS NULL OR "sites"."bag_g" > 0))
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `sites_external_key_unique` ON `sites` (`external_key`);--> statement-breakpoint
CREATE INDEX `sites_donor` ON `sites` (`donor_id`);--> statement-breakpoint
CREATE TABLE `stock_movements` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text,
	`at` integer NOT NULL,
	`day` text NOT NULL,
	`grade` text NOT NULL,
	`kind` text NOT NULL,
	`g` integer NOT NULL,
	`weigh_in_id` text,
	`product_id` text,
	`note` text DEFAULT '' NOT NULL,
	FOREIGN KEY (`grade`) REFERENCES `grades`(`grade`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`weigh_in_id`) REFERENCES `weigh_ins`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`product_id`) REFERENCES `products`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "stock_movements_kind" CHECK("stock_movements"."kind" IN ('opening', 'collected', 'delivery', 'take-back', 'off-cut', 'bought', 'production', 'rejected', 'sold', 'disposed', 'correction')),
	CONSTRAINT "stock_movements_day" CHECK("stock_movements"."day" GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]'),
	CONSTRAINT "stock_movements_sign" CHECK(CASE WHEN "stock_movements"."kind" IN ('production', 'sold', 'disposed') THEN "stock_movements"."g" <= 0 WHEN "stock_movements"."kind" IN ('correction', 'collected', 'rejected') THEN 1 ELSE "stock_movements"."g" >= 0 END)
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `stock_movements_external_key_unique` ON `stock_movements` (`external_key`);--> statement-breakpoint
CREATE INDEX `stock_movements_grade` ON `stock_movements` (`grade`,`day`);--> statement-breakpoint
CREATE INDEX `stock_movements_weigh_in` ON `stock_movements` (`weigh_in_id`);--> statement-breakpoint
CREATE TABLE `stops` (
	`id` text PRIMARY KEY NOT NULL,
	`round_id` text NOT NULL,
	`position` integer NOT NULL,
	`kind` text NOT NULL,
	`site_id` text,
	`arrive_at` integer NOT NULL,
	`start_at` integer NOT NULL,
	`depart_at` integer NOT NULL,
	`expected_g` integer NOT NULL,
	`expected_l` real NOT NULL,
	FOREIGN KEY (`round_id`) REFERENCES `rounds`(`id`) ON UPDATE no action ON DELETE cascade,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "stops_kind" CHECK("stops"."kind" IN ('site', 'unload', 'break')),
	CONSTRAINT "stops_site_known" CHECK(("stops"."kind" = 'site') = ("stops"."site_id" IS NOT NULL)),
	CONSTRAINT "stops_order" CHECK("stops"."arrive_at" <= "stops"."start_at" AND "stops"."start_at" <= "stops"."depart_at")
) STRICT;
--> statement-breakpoint
CREATE INDEX `stops_site` ON `stops` (`site_id`);--> statement-breakpoint
CREATE UNIQUE INDEX `stops_position` ON `stops` (`round_id`,`position`);--> statement-breakpoint
CREATE TABLE `surges` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`site_id` text NOT NULL,
	`event_kind` text NOT NULL,
	`name` text DEFAULT '' NOT NULL,
	`starts_at` integer NOT NULL,
	`ends_at` integer NOT NULL,
	`expected_bags` real NOT NULL,
	`announced_at` integer NOT NULL,
	`cancelled_at` integer,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE cascade,
	CONSTRAINT "surges_kind" CHECK("surges"."event_kind" IN ('festival', 'market-day', 'delivery-peak', 'clearance', 'clean-up', 'other')),
	CONSTRAINT "surges_amounts" CHECK("surges"."expected_bags" > 0 AND "surges"."starts_at" <= "surges"."ends_at")
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `surges_external_key_unique` ON `surges` (`external_key`);--> statement-breakpoint
CREATE INDEX `surges_site` ON `surges` (`site_id`,`ends_at`);--> statement-breakpoint
CREATE TABLE `vans` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`name` text NOT NULL,
	`payload_g` integer NOT NULL,
	`load_space_l` real NOT NULL,
	`cost_micros_per_km` integer NOT NULL,
	`off_road_from_at` integer,
	CONSTRAINT "vans_amounts" CHECK("vans"."payload_g" > 0 AND "vans"."load_space_l" > 0 AND "vans"."cost_micros_per_km" >= 0)
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `vans_external_key_unique` ON `vans` (`external_key`);--> statement-breakpoint
CREATE TABLE `weigh_in_grades` (
	`weigh_in_id` text NOT NULL,
	`grade` text NOT NULL,
	`g` integer NOT NULL,
	PRIMARY KEY(`weigh_in_id`, `grade`),
	FOREIGN KEY (`weigh_in_id`) REFERENCES `weigh_ins`(`id`) ON UPDATE no action ON DELETE cascade,
	FOREIGN KEY (`grade`) REFERENCES `grades`(`grade`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "weigh_in_grades_g" CHECK("weigh_in_grades"."g" >= 0)
) STRICT;
--> statement-breakpoint
CREATE TABLE `weigh_ins` (
	`id` text PRIMARY KEY NOT NULL,
	`external_key` text NOT NULL,
	`site_id` text NOT NULL,
	`at` integer NOT NULL,
	`net_g` integer,
	`gross_g` integer,
	`tare_g` integer,
	`bags` real,
	`found_full` integer NOT NULL,
	`rejected_g` integer NOT NULL,
	`reject_reason` text,
	`left_g` integer,
	`method` text NOT NULL,
	`stop_id` text,
	`load_weigh_in_id` text,
	`replaces_id` text,
	`note` text DEFAULT '' NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	FOREIGN KEY (`site_id`) REFERENCES `sites`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`stop_id`) REFERENCES `stops`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`load_weigh_in_id`) REFERENCES `load_weigh_ins`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`replaces_id`) REFERENCES `weigh_ins`(`id`) ON UPDATE no action ON DELETE no action,
	CONSTRAINT "weigh_ins_method" CHECK("weigh_ins"."method" IN ('scale', 'bag-count', 'apportioned', 'estimate')),
	CONSTRAINT "weigh_ins_known" CHECK("weigh_ins"."net_g" IS NOT NULL OR "weigh_ins"."bags" IS NOT NULL OR "weigh_ins"."found_full" = 1),
	CONSTRAINT "weigh_ins_amounts" CHECK(("weigh_ins"."net_g" IS NULL OR "weigh_ins"."net_g" >= 0) AND ("weigh_ins"."bags" IS NULL OR "weigh_ins"."bags" >= 0) AND "weigh_ins"."rejected_g" >= 0 AND ("weigh_ins"."left_g" IS NULL OR "weigh_ins"."left_g" >= 0)),
	CONSTRAINT "weigh_ins_scale" CHECK("weigh_ins"."gross_g" IS NULL OR "weigh_ins"."tare_g" IS NULL OR "weigh_ins"."net_g" = "weigh_ins"."gross_g" - "weigh_ins"."tare_g")
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `weigh_ins_external_key_unique` ON `weigh_ins` (`external_key`);--> statement-breakpoint
CREATE UNIQUE INDEX `weigh_ins_replaces_id_unique` ON `weigh_ins` (`replaces_id`);--> statement-breakpoint
CREATE INDEX `weigh_ins_site` ON `weigh_ins` (`site_id`,`at`);--> statement-breakpoint
CREATE INDEX `weigh_ins_stop` ON `weigh_ins` (`stop_id`);--> statement-breakpoint
CREATE TABLE `workshop` (
	`id` text PRIMARY KEY NOT NULL,
	`name` text NOT NULL,
	`zone` text NOT NULL,
	`lat` real NOT NULL,
	`lon` real NOT NULL,
	`address` text DEFAULT '' NOT NULL,
	`currency` text NOT NULL,
	`store_limit_g` integer NOT NULL,
	`film_g_per_l` real NOT NULL,
	`bag_g` real NOT NULL,
	`settings` text NOT NULL,
	CONSTRAINT "workshop_single" CHECK("workshop"."id" = 'workshop'),
	CONSTRAINT "workshop_position" CHECK("workshop"."lat" BETWEEN -90 AND 90 AND "workshop"."lon" BETWEEN -180 AND 180),
	CONSTRAINT "workshop_amounts" CHECK("workshop"."store_limit_g" > 0 AND "workshop"."film_g_per_l" > 0 AND "workshop"."bag_g" > 0)
) STRICT;
