-- +goose Up
-- Whom on-call phones for one of the staff.
ALTER TABLE accounts
    ADD COLUMN family_name text NOT NULL DEFAULT '',
    ADD COLUMN family_phone text NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE accounts DROP COLUMN family_name, DROP COLUMN family_phone;
