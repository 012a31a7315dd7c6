-- +goose Up
-- A decision is told to the staff as well: each of told is a person with a place, or an account.
ALTER TABLE told DROP CONSTRAINT told_pkey;
ALTER TABLE told
    ALTER COLUMN signup_id DROP NOT NULL,
    ADD COLUMN account_id bigint REFERENCES accounts (id),
    ADD CONSTRAINT told_one CHECK (num_nonnulls(signup_id, account_id) = 1),
    ADD CONSTRAINT told_place UNIQUE (telling_id, signup_id),
    ADD CONSTRAINT told_staff UNIQUE (telling_id, account_id);

-- When and at which trail those meet who do not know of it, and who stands there for them.
ALTER TABLE tellings
    ADD COLUMN meet   timestamptz,
    ADD COLUMN trail  text NOT NULL DEFAULT '',
    ADD COLUMN stands text NOT NULL DEFAULT '';

-- On-call needs no account; whoever declines is named all the same.
ALTER TABLE staff_declines
    ALTER COLUMN account_id DROP NOT NULL,
    ADD COLUMN name text NOT NULL DEFAULT '';

-- +goose Down
DELETE FROM staff_declines WHERE account_id IS NULL;
ALTER TABLE staff_declines DROP COLUMN name, ALTER COLUMN account_id SET NOT NULL;
ALTER TABLE tellings DROP COLUMN stands, DROP COLUMN trail, DROP COLUMN meet;
DELETE FROM told WHERE signup_id IS NULL;
ALTER TABLE told
    DROP CONSTRAINT told_staff,
    DROP CONSTRAINT told_place,
    DROP CONSTRAINT told_one,
    DROP COLUMN account_id;
ALTER TABLE told ALTER COLUMN signup_id SET NOT NULL;
ALTER TABLE told ADD PRIMARY KEY (telling_id, signup_id);
