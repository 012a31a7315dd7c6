-- +goose Up
-- What people asked not to be sent. The token stands in every mail of its topic and does
-- nothing but turn that topic off and on, so it is kept as it is.
CREATE TABLE mail_choices (
    address text NOT NULL,
    topic   text NOT NULL,
    token   text NOT NULL UNIQUE,
    stopped timestamptz,
    PRIMARY KEY (address, topic)
);

-- Mail that one can be without names its topic and where to stop it; no other mail does.
ALTER TABLE outbox
    ADD COLUMN topic text NOT NULL DEFAULT '',
    ADD COLUMN stop  text NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE outbox DROP COLUMN stop, DROP COLUMN topic;
DROP TABLE mail_choices;
