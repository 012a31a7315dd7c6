-- +goose Up
-- Whether the largest party that the land manager allows counts staff too; most permits do.
ALTER TABLE trails ADD COLUMN permit_staff boolean NOT NULL DEFAULT true;

-- +goose Down
ALTER TABLE trails DROP COLUMN permit_staff;
