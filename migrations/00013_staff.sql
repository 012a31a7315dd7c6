-- +goose Up
-- Asked is not accepted. Who declines leaves hike_staff.
ALTER TABLE hike_staff
    ADD COLUMN answer   text NOT NULL DEFAULT 'asked',
    ADD COLUMN answered timestamptz;
UPDATE hike_staff SET answer = 'accepted' WHERE hike_id IN (SELECT id FROM hikes WHERE state IN ('out', 'back', 'closed'));

ALTER TABLE hikes ADD COLUMN on_call_accepted timestamptz;

CREATE TABLE staff_declines (
    hike_id    bigint NOT NULL REFERENCES hikes (id) ON DELETE CASCADE,
    account_id bigint NOT NULL REFERENCES accounts (id),
    role       text NOT NULL,
    because    text NOT NULL,
    at         timestamptz NOT NULL
);
CREATE INDEX staff_declines_hike ON staff_declines (hike_id);

-- What the house asks for; its own rule.
CREATE TABLE certificate_kinds (
    name   text PRIMARY KEY,
    leader boolean NOT NULL,
    sweep  boolean NOT NULL,
    minors boolean NOT NULL,
    shared boolean NOT NULL,
    made   bigint GENERATED ALWAYS AS IDENTITY
);
INSERT INTO certificate_kinds (name, leader, sweep, minors, shared) VALUES
    ('wilderness first aid', true, false, false, true),
    ('CPR', true, true, false, false),
    ('youth safety', true, true, true, false),
    ('leader agreement', true, false, false, false);

CREATE TABLE certificates (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    account_id bigint NOT NULL REFERENCES accounts (id),
    kind       text NOT NULL,
    issuer     text NOT NULL,
    number     text NOT NULL,
    through    date,
    evidence   text NOT NULL
);
CREATE INDEX certificates_account ON certificates (account_id);

-- Only added to: a lapse is a new row with its day.
CREATE TABLE standings (
    id           bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    account_id   bigint NOT NULL REFERENCES accounts (id),
    from_day     date NOT NULL,
    level        text NOT NULL,
    max_class    text NOT NULL,
    endorsements text[] NOT NULL,
    status       text NOT NULL,
    reason       text NOT NULL,
    by           text NOT NULL,
    written      timestamptz NOT NULL
);
CREATE INDEX standings_account ON standings (account_id);

CREATE TABLE observed_hikes (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    account_id bigint NOT NULL REFERENCES accounts (id),
    day        date NOT NULL,
    trail      text NOT NULL,
    mentor     text NOT NULL,
    skills     text[] NOT NULL,
    result     text NOT NULL,
    note       text NOT NULL
);
CREATE INDEX observed_hikes_account ON observed_hikes (account_id);

CREATE TABLE absences (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    account_id bigint NOT NULL REFERENCES accounts (id),
    from_day   date NOT NULL,
    to_day     date,
    weekdays   integer[] NOT NULL,
    note       text NOT NULL
);
CREATE INDEX absences_account ON absences (account_id);

-- Minutes by car that somebody knows better than an estimate.
CREATE TABLE drives (
    from_trail bigint NOT NULL REFERENCES trails (id),
    to_trail   bigint NOT NULL REFERENCES trails (id),
    minutes    integer NOT NULL CHECK (minutes >= 0),
    PRIMARY KEY (from_trail, to_trail)
);

-- +goose Down
DROP TABLE drives;
DROP TABLE absences;
DROP TABLE observed_hikes;
DROP TABLE standings;
DROP TABLE certificates;
DROP TABLE certificate_kinds;
DROP TABLE staff_declines;
ALTER TABLE hikes DROP COLUMN on_call_accepted;
ALTER TABLE hike_staff DROP COLUMN answered, DROP COLUMN answer;
