-- The two cost questions behind the interval of least cost, and the interval
-- that holds while the predictions do not.

-- +goose Up
ALTER TABLE policy ADD COLUMN found_wet_cost REAL NOT NULL DEFAULT 0;
ALTER TABLE policy ADD COLUMN spoil_chance REAL NOT NULL DEFAULT 0.05;
ALTER TABLE policy ADD COLUMN fleet_interval_months REAL; -- NULL: the fleet's own median
