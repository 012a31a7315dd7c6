-- +goose Up
-- A decision told to everybody who has or waits for a place.
CREATE TABLE tellings (
    id      bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hike_id bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    at      timestamptz NOT NULL,
    by_whom text NOT NULL,
    outcome text NOT NULL,
    words   text NOT NULL,
    consent boolean NOT NULL
);
CREATE INDEX tellings_hike ON tellings (hike_id, id DESC);

-- Who was told, by which secret they answer, and when they said that they have read it.
-- The reminder waits in the outbox under its key and is taken back once they have.
CREATE TABLE told (
    telling_id bigint NOT NULL REFERENCES tellings (id) ON DELETE CASCADE,
    signup_id  uuid NOT NULL REFERENCES signups (id) ON DELETE CASCADE,
    link       bytea NOT NULL UNIQUE,
    remind     timestamptz,
    reminder   text NOT NULL,
    read       timestamptz,
    PRIMARY KEY (telling_id, signup_id)
);
CREATE INDEX told_signup ON told (signup_id);

-- Who walked a trail last and what they found.
CREATE TABLE scout_reports (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    trail_id   bigint NOT NULL REFERENCES trails (id) ON DELETE CASCADE,
    walked     date NOT NULL,
    by_whom    text NOT NULL,
    times      text NOT NULL,
    conditions text NOT NULL,
    hazards    text NOT NULL,
    noted      timestamptz NOT NULL
);
CREATE INDEX scout_reports_trail ON scout_reports (trail_id, walked DESC);

-- A trail or part of it that is closed, by whose word; without a last day until further
-- notice. What does not block is a caution.
CREATE TABLE closures (
    id       bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    trail_id bigint NOT NULL REFERENCES trails (id) ON DELETE CASCADE,
    from_day date NOT NULL,
    to_day   date,
    why      text NOT NULL,
    source   text NOT NULL,
    blocks   boolean NOT NULL,
    by_whom  text NOT NULL,
    noted    timestamptz NOT NULL,
    CHECK (to_day IS NULL OR to_day >= from_day)
);
CREATE INDEX closures_trail ON closures (trail_id, from_day);

ALTER TABLE trails ADD COLUMN permit_number text NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE trails DROP COLUMN permit_number;
DROP TABLE closures;
DROP TABLE scout_reports;
DROP TABLE told;
DROP TABLE tellings;
