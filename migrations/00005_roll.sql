-- +goose Up
-- Appended, never edited. The id is made on the device, so a second arrival is known.
CREATE TABLE roll_events (
    id       uuid PRIMARY KEY,
    hike_id  bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    seq      bigint GENERATED ALWAYS AS IDENTITY,
    at       timestamptz NOT NULL,
    recorded timestamptz NOT NULL,
    body     jsonb NOT NULL
);
CREATE INDEX roll_events_hike ON roll_events (hike_id, seq);

-- +goose Down
DROP TABLE roll_events;
