-- +goose Up
CREATE TABLE trails (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    name       text NOT NULL,
    summary    text NOT NULL DEFAULT '',
    zone       text NOT NULL,
    surface    text NOT NULL,
    meeting    text NOT NULL DEFAULT '',
    manager    text NOT NULL DEFAULT '',
    permit_cap integer NOT NULL DEFAULT 0,
    signal     text NOT NULL DEFAULT '',
    -- The profile as the track package writes it, and its figures for lists.
    profile    bytea NOT NULL,
    shape      text NOT NULL,
    heights    boolean NOT NULL,
    length_m   double precision NOT NULL,
    ascent_m   double precision NOT NULL,
    descent_m  double precision NOT NULL,
    lowest_m   double precision NOT NULL,
    highest_m  double precision NOT NULL,
    steepest   double precision NOT NULL,
    created    timestamptz NOT NULL
);

-- The file a track came from, as it came.
CREATE TABLE trail_uploads (
    trail_id bigint PRIMARY KEY REFERENCES trails (id) ON DELETE CASCADE,
    gpx      bytea NOT NULL
);

CREATE TABLE trail_points (
    id       bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    trail_id bigint NOT NULL REFERENCES trails (id) ON DELETE CASCADE,
    kind     text NOT NULL,
    name     text NOT NULL,
    along_m  double precision NOT NULL,
    note     text NOT NULL DEFAULT ''
);
CREATE INDEX trail_points_trail ON trail_points (trail_id, along_m);

-- +goose Down
DROP TABLE trail_points;
DROP TABLE trail_uploads;
DROP TABLE trails;
