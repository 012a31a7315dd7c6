-- +goose Up
-- What people tell of themselves, the talk before a place, and places held for a while.
ALTER TABLE signups
    ADD COLUMN told              jsonb NOT NULL DEFAULT '{}',
    ADD COLUMN screening         jsonb NOT NULL DEFAULT '{}',
    ADD COLUMN held_until        timestamptz,
    ADD COLUMN contact_email     text NOT NULL DEFAULT '',
    ADD COLUMN contact_asked     timestamptz,
    ADD COLUMN contact_confirmed timestamptz,
    ADD COLUMN consented         timestamptz,
    ADD COLUMN risk_version      text NOT NULL DEFAULT '',
    ADD COLUMN risk_accepted     timestamptz,
    ADD COLUMN no_show           boolean NOT NULL DEFAULT false;

-- The words that were accepted, by the hash of them.
CREATE TABLE risk_texts (
    version text PRIMARY KEY,
    text    text NOT NULL,
    since   timestamptz NOT NULL
);

-- One key seals the forms of the public, the same for every program on this database.
CREATE TABLE form_key (
    one boolean PRIMARY KEY DEFAULT true CHECK (one),
    key bytea NOT NULL
);
INSERT INTO form_key (key) VALUES (sha256(convert_to(gen_random_uuid()::text || gen_random_uuid()::text, 'UTF8')));

-- +goose Down
DROP TABLE form_key;
DROP TABLE risk_texts;
ALTER TABLE signups
    DROP COLUMN told,
    DROP COLUMN screening,
    DROP COLUMN held_until,
    DROP COLUMN contact_email,
    DROP COLUMN contact_asked,
    DROP COLUMN contact_confirmed,
    DROP COLUMN consented,
    DROP COLUMN risk_version,
    DROP COLUMN risk_accepted,
    DROP COLUMN no_show;
