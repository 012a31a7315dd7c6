-- +goose Up
-- Plates tell whose car is left in the lot.
ALTER TABLE signups
    ADD COLUMN car_plate  text NOT NULL DEFAULT '',
    ADD COLUMN car_make   text NOT NULL DEFAULT '',
    ADD COLUMN car_colour text NOT NULL DEFAULT '',
    ADD COLUMN car_seats  integer NOT NULL DEFAULT 0 CHECK (car_seats BETWEEN 0 AND 20),
    ADD COLUMN car_lot    text NOT NULL DEFAULT '',
    ADD COLUMN adult      text NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE signups
    DROP COLUMN car_plate,
    DROP COLUMN car_make,
    DROP COLUMN car_colour,
    DROP COLUMN car_seats,
    DROP COLUMN car_lot,
    DROP COLUMN adult;
