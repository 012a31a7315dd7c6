-- +goose Up
-- Where a decision makes the hike turn back, and what it changed.
ALTER TABLE hikes ADD COLUMN turn jsonb, ADD COLUMN changed jsonb;

-- +goose Down
ALTER TABLE hikes DROP COLUMN turn, DROP COLUMN changed;
