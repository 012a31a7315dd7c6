-- +goose Up
CREATE TABLE signups (
    id              uuid PRIMARY KEY,
    hike_id         bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    asked_order     bigint GENERATED ALWAYS AS IDENTITY,
    state           text NOT NULL,
    name            text NOT NULL,
    email           text NOT NULL,
    mobile          text NOT NULL,
    emergency_name  text NOT NULL,
    emergency_phone text NOT NULL,
    longest_walk    text NOT NULL,
    hot_days        integer NOT NULL,
    water_l         double precision NOT NULL,
    minor           boolean NOT NULL,
    guardian        text NOT NULL DEFAULT '',
    guardian_phone  text NOT NULL DEFAULT '',
    needs           text NOT NULL DEFAULT '',
    because         text NOT NULL DEFAULT '',
    acknowledged    boolean NOT NULL,
    asked           timestamptz NOT NULL,
    link            bytea NOT NULL UNIQUE
);
CREATE INDEX signups_hike ON signups (hike_id, asked_order);

-- +goose Down
DROP TABLE signups;
