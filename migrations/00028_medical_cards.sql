-- +goose Up
-- Whose name is on which key that lies outside of the database.
CREATE TABLE card_key (
    one    boolean PRIMARY KEY DEFAULT true CHECK (one),
    key_id bytea NOT NULL
);

-- Nothing here can be read without that key.
CREATE TABLE medical_cards (
    signup_id uuid PRIMARY KEY REFERENCES signups (id) ON DELETE CASCADE,
    hike_id   bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    key_id    bytea NOT NULL,
    wrapped   bytea NOT NULL,
    action    bytea NOT NULL,
    body      bytea NOT NULL,
    written   timestamptz NOT NULL
);
CREATE INDEX medical_cards_hike ON medical_cards (hike_id);
CREATE TRIGGER announce_hike AFTER INSERT OR UPDATE OR DELETE ON medical_cards FOR EACH ROW EXECUTE FUNCTION announce_hike();

-- What people wrote before cards were sealed. The site seals it when it starts and leaves
-- this empty; a column of the old name that something still wrote to would go unseen.
ALTER TABLE signups RENAME COLUMN needs TO unsealed_needs;

-- Appended, never changed. No reference to the sign-up: the log outlives it.
CREATE TABLE card_openings (
    id        uuid PRIMARY KEY,
    hike_id   bigint NOT NULL,
    signup_id uuid NOT NULL,
    by_whom   text NOT NULL,
    ground    text NOT NULL,
    reason    bytea NOT NULL,
    at        timestamptz NOT NULL
);
CREATE INDEX card_openings_signup ON card_openings (signup_id, at DESC);
CREATE INDEX card_openings_at ON card_openings (at DESC);
-- +goose StatementBegin
CREATE FUNCTION card_openings_stand() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the openings of medical cards are appended to and never changed';
END
$$;
-- +goose StatementEnd
CREATE TRIGGER card_openings_stand BEFORE UPDATE OR DELETE OR TRUNCATE ON card_openings
    FOR EACH STATEMENT EXECUTE FUNCTION card_openings_stand();

-- When a hike was closed, from which what it holds is deleted in time.
ALTER TABLE hikes ADD COLUMN closed timestamptz;
UPDATE hikes h SET closed = coalesce((SELECT max(e.at) FROM roll_events e WHERE e.hike_id = h.id), h.start) WHERE h.state = 'closed';

-- While a hold stands nothing of the hike is deleted. Lifted, it stays on record.
CREATE TABLE legal_holds (
    id      bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hike_id bigint NOT NULL REFERENCES hikes (id),
    because text NOT NULL,
    by_whom text NOT NULL,
    since   timestamptz NOT NULL,
    lifted  timestamptz
);
CREATE UNIQUE INDEX legal_holds_standing ON legal_holds (hike_id) WHERE lifted IS NULL;

-- +goose Down
DROP TABLE legal_holds;
ALTER TABLE hikes DROP COLUMN closed;
DROP TABLE card_openings;
DROP FUNCTION card_openings_stand;
ALTER TABLE signups RENAME COLUMN unsealed_needs TO needs;
DROP TABLE medical_cards;
DROP TABLE card_key;
