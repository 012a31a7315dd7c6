-- +goose Up
-- Whatever a board shows announces its own change, whoever makes it: the payload is the
-- hike, or 0 where a change may be about any of them.
-- +goose StatementBegin
CREATE FUNCTION announce_hike() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    changed bigint := 0;
BEGIN
    IF TG_TABLE_NAME = 'hikes' THEN
        changed := CASE WHEN TG_OP = 'DELETE' THEN OLD.id ELSE NEW.id END;
    ELSIF TG_TABLE_NAME NOT IN ('trails', 'accounts') THEN
        changed := CASE WHEN TG_OP = 'DELETE' THEN OLD.hike_id ELSE NEW.hike_id END;
    END IF;
    PERFORM pg_notify('saltbush_roll', changed::text);
    RETURN NULL;
END
$$;
-- +goose StatementEnd
CREATE TRIGGER announce_hike AFTER INSERT OR UPDATE OR DELETE ON hikes FOR EACH ROW EXECUTE FUNCTION announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT OR UPDATE OR DELETE ON hike_staff FOR EACH ROW EXECUTE FUNCTION announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT OR UPDATE OR DELETE ON signups FOR EACH ROW EXECUTE FUNCTION announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT ON plans FOR EACH ROW EXECUTE FUNCTION announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT ON roll_events FOR EACH ROW EXECUTE FUNCTION announce_hike();
CREATE TRIGGER announce_hike AFTER INSERT ON watch_log FOR EACH ROW EXECUTE FUNCTION announce_hike();
CREATE TRIGGER announce_hike AFTER UPDATE ON trails FOR EACH ROW EXECUTE FUNCTION announce_hike();
CREATE TRIGGER announce_hike AFTER UPDATE OF name, email, phone ON accounts FOR EACH ROW EXECUTE FUNCTION announce_hike();

-- What happened on a day, over all hikes.
CREATE INDEX roll_events_at ON roll_events (at);
CREATE INDEX watch_log_at ON watch_log (at);

-- The key pair by which push services know this site: made once, one row.
CREATE TABLE push_keys (
    one     boolean PRIMARY KEY DEFAULT true CHECK (one),
    private bytea NOT NULL,
    made    timestamptz NOT NULL
);

-- Phones and desks that an account asked to be woken on. slot numbers them, so that a
-- message to each has a name that is known beforehand.
CREATE TABLE push_subscriptions (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    account_id bigint NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
    slot       smallint NOT NULL CHECK (slot BETWEEN 1 AND 5),
    endpoint   text NOT NULL UNIQUE,
    p256dh     bytea NOT NULL,
    auth       bytea NOT NULL,
    label      text NOT NULL,
    made       timestamptz NOT NULL,
    -- Set once the push service says that nobody listens there any more: kept to be shown.
    ended      timestamptz,
    ended_why  text NOT NULL DEFAULT ''
);
CREATE UNIQUE INDEX push_subscriptions_slot ON push_subscriptions (account_id, slot) WHERE ended IS NULL;

-- +goose Down
DROP TABLE push_subscriptions;
DROP TABLE push_keys;
DROP INDEX watch_log_at;
DROP INDEX roll_events_at;
DROP TRIGGER announce_hike ON accounts;
DROP TRIGGER announce_hike ON trails;
DROP TRIGGER announce_hike ON watch_log;
DROP TRIGGER announce_hike ON roll_events;
DROP TRIGGER announce_hike ON plans;
DROP TRIGGER announce_hike ON signups;
DROP TRIGGER announce_hike ON hike_staff;
DROP TRIGGER announce_hike ON hikes;
DROP FUNCTION announce_hike;
