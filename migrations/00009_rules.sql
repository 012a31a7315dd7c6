-- +goose Up
-- The organisation's own rules by key, each figure in the unit of its rule. A key that is
-- missing takes the default, so that a better default reaches who has set nothing.
ALTER TABLE house ADD COLUMN rules jsonb NOT NULL DEFAULT '{}';

-- Who changed what, and why: appended, never changed.
CREATE TABLE house_changes (
    id          bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    at          timestamptz NOT NULL,
    by_whom     text NOT NULL,
    rule        text NOT NULL,
    was         text NOT NULL,
    now         text NOT NULL,
    toward_risk boolean NOT NULL,
    reason      text NOT NULL
);

-- +goose StatementBegin
CREATE FUNCTION house_changes_stand() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the history of the rules is appended to and never changed';
END
$$;
-- +goose StatementEnd
CREATE TRIGGER house_changes_stand BEFORE UPDATE OR DELETE ON house_changes
    FOR EACH ROW EXECUTE FUNCTION house_changes_stand();

-- +goose Down
DROP TABLE house_changes;
DROP FUNCTION house_changes_stand;
ALTER TABLE house DROP COLUMN rules;
