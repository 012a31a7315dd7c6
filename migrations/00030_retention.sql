-- +goose Up
-- Who lifted a hold, and why.
ALTER TABLE legal_holds
    ADD COLUMN lifted_by      text NOT NULL DEFAULT '',
    ADD COLUMN lifted_because text NOT NULL DEFAULT '';

-- One row for each day on which the daily run was done: however many instances there are,
-- whoever writes it first does the run, in the same transaction.
CREATE TABLE retiring_days (
    day     date PRIMARY KEY,
    at      timestamptz NOT NULL,
    by_whom text NOT NULL
);

-- What went, appended and never changed. No reference to the hike: the log outlives it.
-- Messages go by their own age and belong to no hike.
CREATE TABLE retirements (
    id      bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    hike_id bigint,
    kind    text NOT NULL,
    gone    integer NOT NULL,
    at      timestamptz NOT NULL,
    by_whom text NOT NULL
);
CREATE UNIQUE INDEX retirements_once ON retirements (hike_id, kind) WHERE kind NOT IN ('waivers', 'messages', 'own data');
CREATE INDEX retirements_at ON retirements (at DESC);

-- What a claim needs of a person whose name has gone everywhere else, until it goes itself.
CREATE TABLE waivers (
    person        uuid PRIMARY KEY,
    hike_id       bigint NOT NULL,
    name          text NOT NULL,
    minor         boolean NOT NULL,
    guardian      text NOT NULL,
    consented     timestamptz,
    risk_version  text NOT NULL,
    risk_accepted timestamptz,
    goes          timestamptz NOT NULL
);
CREATE INDEX waivers_goes ON waivers (goes);

-- What has no log of its own: holds, exports, roles, what people did with their own data.
CREATE TABLE audit_log (
    id      bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    at      timestamptz NOT NULL,
    by_whom text NOT NULL,
    what    text NOT NULL,
    about   text NOT NULL,
    note    text NOT NULL
);

-- +goose StatementBegin
CREATE FUNCTION log_stands() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'this log is appended to and never changed';
END
$$;
-- +goose StatementEnd
CREATE TRIGGER retirements_stand BEFORE UPDATE OR DELETE OR TRUNCATE ON retirements FOR EACH STATEMENT EXECUTE FUNCTION log_stands();
CREATE TRIGGER audit_log_stands BEFORE UPDATE OR DELETE OR TRUNCATE ON audit_log FOR EACH STATEMENT EXECUTE FUNCTION log_stands();

-- Roles are noted wherever they are changed. Who changed them is known where the
-- transaction says so.
-- +goose StatementBegin
CREATE FUNCTION note_roles() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    INSERT INTO audit_log (at, by_whom, what, about, note) VALUES (
        now(),
        coalesce(current_setting('saltbush.by', true), ''),
        'roles',
        NEW.name,
        CASE WHEN TG_OP = 'INSERT' THEN 'new account' ELSE coalesce(nullif(array_to_string(OLD.roles, ', '), ''), 'none') || CASE WHEN OLD.active THEN '' ELSE ' (not active)' END END
            || ' -> ' || coalesce(nullif(array_to_string(NEW.roles, ', '), ''), 'none') || CASE WHEN NEW.active THEN '' ELSE ' (not active)' END);
    RETURN NULL;
END
$$;
-- +goose StatementEnd
CREATE TRIGGER note_new_roles AFTER INSERT ON accounts FOR EACH ROW EXECUTE FUNCTION note_roles();
CREATE TRIGGER note_roles AFTER UPDATE ON accounts FOR EACH ROW
    WHEN (OLD.roles IS DISTINCT FROM NEW.roles OR OLD.active <> NEW.active) EXECUTE FUNCTION note_roles();

-- One log over all. Of an opened card it says that, by whom and on what ground, never what.
CREATE VIEW audit AS
    SELECT at, by_whom, what, about, note FROM audit_log
    UNION ALL
    SELECT at, by_whom, 'rule', rule, was || ' -> ' || now || CASE WHEN reason = '' THEN '' ELSE ': ' || reason END FROM house_changes
    UNION ALL
    SELECT o.at, o.by_whom, 'card opened', coalesce(h.title, ''), o.ground FROM card_openings o LEFT JOIN hikes h ON h.id = o.hike_id
    UNION ALL
    SELECT r.at, r.by_whom, 'deleted', coalesce(h.title, ''), r.kind || ': ' || r.gone FROM retirements r LEFT JOIN hikes h ON h.id = r.hike_id WHERE r.gone > 0;

-- +goose Down
DROP VIEW audit;
DROP TRIGGER note_roles ON accounts;
DROP TRIGGER note_new_roles ON accounts;
DROP FUNCTION note_roles;
DROP TABLE audit_log;
DROP TABLE waivers;
DROP TABLE retirements;
DROP FUNCTION log_stands;
DROP TABLE retiring_days;
ALTER TABLE legal_holds DROP COLUMN lifted_because, DROP COLUMN lifted_by;
