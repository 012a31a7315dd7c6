-- +goose Up
-- Who brought a request for a place in from a list; empty where the person asked.
ALTER TABLE signups ADD COLUMN brought_by text NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE signups DROP COLUMN brought_by;
