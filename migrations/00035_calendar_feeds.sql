-- +goose Up
-- Private addresses under which an account's calendar programs follow its hikes.
CREATE TABLE calendar_feeds (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    account_id bigint NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
    hash       bytea NOT NULL UNIQUE,
    name       text NOT NULL,
    made       timestamptz NOT NULL,
    last_read  timestamptz
);
CREATE INDEX calendar_feeds_account ON calendar_feeds (account_id);
INSERT INTO calendar_feeds (account_id, hash, name, made)
SELECT accounts.id, links.hash, 'My calendar', now()
FROM links
JOIN accounts ON accounts.id::text = links.subject
WHERE links.purpose = 'calendar feed';
DELETE FROM links WHERE purpose = 'calendar feed';

-- +goose Down
DROP TABLE calendar_feeds;
