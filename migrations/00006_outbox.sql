-- +goose Up
CREATE TABLE outbox (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    key        text NOT NULL UNIQUE,
    recipient  text NOT NULL,
    subject    text NOT NULL,
    body       text NOT NULL,
    attached   jsonb NOT NULL DEFAULT '[]',
    state      text NOT NULL,
    created    timestamptz NOT NULL,
    next_try   timestamptz NOT NULL,
    useless_at timestamptz,
    sent       timestamptz,
    tries      integer NOT NULL DEFAULT 0,
    last_error text NOT NULL DEFAULT ''
);
CREATE INDEX outbox_due ON outbox (next_try) WHERE state = 'queued';

-- +goose Down
DROP TABLE outbox;
