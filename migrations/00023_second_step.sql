-- +goose Up
-- The second step of signing in: what an authenticator program shares with us, and the
-- hashes of the recovery codes that are left. A row without a key says only since when
-- the account is asked for one.
CREATE TABLE two_steps (
    account_id bigint PRIMARY KEY REFERENCES accounts (id) ON DELETE CASCADE,
    asked      timestamptz,
    key        bytea,
    since      timestamptz,
    last_step  bigint NOT NULL DEFAULT 0,
    wrong      integer NOT NULL DEFAULT 0,
    until      timestamptz,
    recovery   bytea[] NOT NULL DEFAULT '{}'
);

-- Passkeys: only what checks a signature is kept, as the library writes it.
CREATE TABLE passkeys (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    account_id bigint NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
    handle     bytea NOT NULL UNIQUE,
    name       text NOT NULL,
    credential jsonb NOT NULL,
    made       timestamptz NOT NULL,
    last_used  timestamptz
);
CREATE INDEX passkeys_account ON passkeys (account_id, id);

ALTER TABLE sign_ins ADD COLUMN second boolean NOT NULL DEFAULT false;

-- +goose Down
ALTER TABLE sign_ins DROP COLUMN second;
DROP TABLE passkeys;
DROP TABLE two_steps;
