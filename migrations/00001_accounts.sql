-- +goose Up
CREATE TABLE accounts (
    id            bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    name          text NOT NULL,
    email         text NOT NULL,
    phone         text NOT NULL DEFAULT '',
    roles         text[] NOT NULL DEFAULT '{}',
    password_hash text NOT NULL DEFAULT '',
    active        boolean NOT NULL DEFAULT true,
    units         text NOT NULL DEFAULT 'metric',
    created       timestamptz NOT NULL
);
CREATE UNIQUE INDEX accounts_email ON accounts (lower(email));

-- Links open one thing to whoever holds the secret; only its hash is kept.
CREATE TABLE links (
    hash    bytea PRIMARY KEY,
    purpose text NOT NULL,
    subject text NOT NULL,
    expires timestamptz NOT NULL,
    used    timestamptz
);

-- As alexedwards/scs/pgxstore wants it.
CREATE TABLE sessions (
    token  text PRIMARY KEY,
    data   bytea NOT NULL,
    expiry timestamptz NOT NULL
);
CREATE INDEX sessions_expiry ON sessions (expiry);

-- +goose Down
DROP TABLE sessions;
DROP TABLE links;
DROP TABLE accounts;
