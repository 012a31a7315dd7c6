-- +goose Up
-- Links that open one hike on its day, to a sweep or to whoever is on call. Only the hash
-- of the secret is kept.
CREATE TABLE day_links (
    id        bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hash      bytea NOT NULL UNIQUE,
    hike_id   bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    name      text NOT NULL,
    part      text NOT NULL CHECK (part IN ('sweep', 'on-call')),
    made      timestamptz NOT NULL,
    made_by   text NOT NULL,
    expires   timestamptz NOT NULL,
    last_used timestamptz,
    withdrawn timestamptz
);
CREATE INDEX day_links_hike ON day_links (hike_id, id);

-- Where an account is signed in. A browser's session names its row; without the row it is
-- signed out.
CREATE TABLE sign_ins (
    id         uuid PRIMARY KEY,
    account_id bigint NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
    began      timestamptz NOT NULL,
    last_seen  timestamptz NOT NULL,
    device     text NOT NULL,
    network    text NOT NULL
);
CREATE INDEX sign_ins_account ON sign_ins (account_id, last_seen);

-- +goose Down
DROP TABLE sign_ins;
DROP TABLE day_links;
