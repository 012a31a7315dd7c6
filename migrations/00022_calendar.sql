-- +goose Up
-- What calendars were told of an entry last, so that its number rises with every change.
CREATE TABLE calendar_entries (
    uid      text PRIMARY KEY,
    sequence integer NOT NULL DEFAULT 0 CHECK (sequence >= 0),
    digest   bytea NOT NULL,
    changed  timestamptz NOT NULL
);

-- +goose Down
DROP TABLE calendar_entries;
