-- +goose Up
-- Why a hike goes although no alarm can reach anybody on call.
ALTER TABLE hikes ADD COLUMN on_call_override jsonb;

-- +goose Down
ALTER TABLE hikes DROP COLUMN on_call_override;
