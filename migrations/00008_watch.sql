-- +goose Up
ALTER TABLE hikes
    ADD COLUMN on_call_email text NOT NULL DEFAULT '',
    ADD COLUMN deputy_email  text NOT NULL DEFAULT '';

-- Which way a message leaves: each way has its own queue, so that none waits for another.
ALTER TABLE outbox ADD COLUMN channel text NOT NULL DEFAULT 'mail';
DROP INDEX outbox_due;
CREATE INDEX outbox_due ON outbox (channel, next_try) WHERE state = 'queued';

-- One durable job for each step of each watch. planned is the step's instant by the roll,
-- look is when to look at it next, round grows when a step whose time moved later after it
-- had fired is armed anew.
CREATE TABLE watch_rungs (
    hike_id bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    step    text NOT NULL,
    round   integer NOT NULL DEFAULT 1,
    planned timestamptz NOT NULL,
    look    timestamptz NOT NULL,
    state   text NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'fired', 'ended')),
    fired   timestamptz,
    trouble text NOT NULL DEFAULT '',
    PRIMARY KEY (hike_id, step)
);
CREATE INDEX watch_rungs_look ON watch_rungs (look) WHERE state = 'waiting';

-- What happened on a watch: appended, never changed. kind is step, acknowledged, or a note
-- of a call; due, late_by, recipient, channel and outcome belong to a step.
CREATE TABLE watch_log (
    id        bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hike_id   bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    at        timestamptz NOT NULL,
    kind      text NOT NULL,
    by_whom   text NOT NULL DEFAULT '',
    note      text NOT NULL DEFAULT '',
    step      text NOT NULL DEFAULT '',
    round     integer NOT NULL DEFAULT 0,
    due       timestamptz,
    late_by   interval NOT NULL DEFAULT '0',
    recipient text NOT NULL DEFAULT '',
    channel   text NOT NULL DEFAULT '',
    outcome   text NOT NULL DEFAULT '',
    -- What the keys of the step's messages in the outbox begin with.
    ref       text NOT NULL DEFAULT ''
);
CREATE INDEX watch_log_hike ON watch_log (hike_id, id);
CREATE UNIQUE INDEX watch_log_once ON watch_log (hike_id, step, round, recipient) WHERE kind = 'step';

-- +goose StatementBegin
CREATE FUNCTION watch_log_stands() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the log of a watch is appended to and never changed';
END
$$;
-- +goose StatementEnd
CREATE TRIGGER watch_log_stands BEFORE UPDATE ON watch_log
    FOR EACH ROW EXECUTE FUNCTION watch_log_stands();

-- When a watcher last went through all watches, whichever instance it was: one row.
CREATE TABLE watch_pulse (
    one     boolean PRIMARY KEY DEFAULT true CHECK (one),
    passed  timestamptz NOT NULL,
    by_whom text NOT NULL,
    failed  integer NOT NULL
);

-- +goose Down
DROP TABLE watch_pulse;
DROP TABLE watch_log;
DROP FUNCTION watch_log_stands;
DROP TABLE watch_rungs;
DROP INDEX outbox_due;
ALTER TABLE outbox DROP COLUMN channel;
CREATE INDEX outbox_due ON outbox (next_try) WHERE state = 'queued';
ALTER TABLE hikes DROP COLUMN deputy_email, DROP COLUMN on_call_email;
