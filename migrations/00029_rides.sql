-- +goose Up
-- What a leader settles about the cars of a hike.
CREATE TABLE shuttles (
    hike_id bigint PRIMARY KEY REFERENCES hikes (id) ON DELETE CASCADE,
    end_lot text NOT NULL DEFAULT '',
    minutes integer NOT NULL DEFAULT 0 CHECK (minutes BETWEEN 0 AND 240),
    by_whom text NOT NULL DEFAULT '',
    at      timestamptz,
    opened  timestamptz
);

-- Who said yes to telling those in the same car how to meet, the cars of staff, and what
-- each person was told last of their part. Person is the number on the roll, of a place or
-- of somebody of the staff.
CREATE TABLE rides (
    hike_id    bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    person     uuid NOT NULL,
    shares     timestamptz,
    town       text NOT NULL DEFAULT '',
    car        jsonb,
    told       text NOT NULL DEFAULT '',
    told_times integer NOT NULL DEFAULT 0,
    PRIMARY KEY (hike_id, person),
    CHECK (shares IS NOT NULL OR town = '')
);

-- +goose Down
DROP TABLE rides;
DROP TABLE shuttles;
