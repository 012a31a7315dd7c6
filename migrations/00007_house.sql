-- +goose Up
-- What the organisation says of itself: one row.
CREATE TABLE house (
    one          boolean PRIMARY KEY DEFAULT true CHECK (one),
    organisation text NOT NULL,
    emergency    text NOT NULL,
    zone         text NOT NULL
);

-- +goose Down
DROP TABLE house;
