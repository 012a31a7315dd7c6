-- +goose Up
CREATE TABLE hikes (
    id                 bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    trail_id           bigint NOT NULL REFERENCES trails (id),
    title              text NOT NULL,
    notice             text NOT NULL DEFAULT '',
    meet               timestamptz NOT NULL,
    start              timestamptz NOT NULL,
    places             integer NOT NULL CHECK (places > 0),
    pace               text NOT NULL,
    state              text NOT NULL,
    on_call_name       text NOT NULL DEFAULT '',
    on_call_phone      text NOT NULL DEFAULT '',
    deputy_name        text NOT NULL DEFAULT '',
    deputy_phone       text NOT NULL DEFAULT '',
    forecast           jsonb,
    decision           jsonb,
    called_off_because text NOT NULL DEFAULT '',
    created            timestamptz NOT NULL
);
CREATE INDEX hikes_start ON hikes (start);
CREATE INDEX hikes_state ON hikes (state);

CREATE TABLE hike_staff (
    person     uuid PRIMARY KEY,
    hike_id    bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    account_id bigint NOT NULL REFERENCES accounts (id),
    role       text NOT NULL,
    UNIQUE (hike_id, account_id)
);

-- A plan is a snapshot: never changed, a new forecast makes a new one.
CREATE TABLE plans (
    id      bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hike_id bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    made    timestamptz NOT NULL,
    made_by text NOT NULL,
    model   text NOT NULL,
    inputs  jsonb NOT NULL,
    result  jsonb NOT NULL
);
CREATE INDEX plans_hike ON plans (hike_id, id DESC);

-- +goose Down
DROP TABLE plans;
DROP TABLE hike_staff;
DROP TABLE hikes;
