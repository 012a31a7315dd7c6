-- +goose Up
-- What a usual day of each month is like at a trailhead, as the planning service reads it.
CREATE TABLE trail_normals (
    trail_id bigint PRIMARY KEY REFERENCES trails (id) ON DELETE CASCADE,
    normals  jsonb NOT NULL,
    source   text NOT NULL DEFAULT '',
    typed    timestamptz NOT NULL,
    typed_by text NOT NULL
);

-- The day on which the house confirmed that there is water at a point, null where it has not.
ALTER TABLE trail_points ADD COLUMN water_seen date;

-- +goose Down
ALTER TABLE trail_points DROP COLUMN water_seen;
DROP TABLE trail_normals;
