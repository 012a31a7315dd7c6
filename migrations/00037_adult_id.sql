-- The adult who answers for a minor, as the roll knows them: a sign-up or a member of staff.
-- The name stays as it was typed. There is no foreign key: the staff of a hike is stored anew
-- with each change, and either person may leave the hike before the child.

-- +goose Up
ALTER TABLE signups ADD COLUMN adult_id uuid;

-- Old rows have the name alone. They are filled in where exactly one grown-up of the hike has
-- it, compared as the program compares names: without case and without extra blanks.
WITH adults AS (
    SELECT hike_id, id AS person, name FROM signups
    WHERE NOT minor AND state NOT IN ('withdrawn', 'turned away')
    UNION ALL
    SELECT s.hike_id, s.person, a.name FROM hike_staff s JOIN accounts a ON a.id = s.account_id
), named AS (
    SELECT
        hike_id,
        lower(trim(regexp_replace(name, '\s+', ' ', 'g'))) AS name,
        (array_agg(person))[1] AS person
    FROM adults
    GROUP BY 1, 2
    HAVING count(*) = 1
)
UPDATE signups c SET adult_id = named.person
FROM named
WHERE c.minor
    AND c.adult <> ''
    AND c.hike_id = named.hike_id
    AND lower(trim(regexp_replace(c.adult, '\s+', ' ', 'g'))) = named.name;

-- +goose Down
ALTER TABLE signups DROP COLUMN adult_id;
