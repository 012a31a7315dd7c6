-- Tables and columns are named as the code names them.

-- +goose Up
ALTER TABLE signups RENAME COLUMN told TO self_report;
ALTER TABLE signups RENAME COLUMN brought_by TO imported_by;
ALTER TABLE tellings RENAME TO announcements;
ALTER SEQUENCE tellings_id_seq RENAME TO announcements_id_seq;
ALTER TABLE told RENAME TO announcement_recipients;
ALTER TABLE announcement_recipients RENAME COLUMN telling_id TO announcement_id;
ALTER TABLE announcement_recipients RENAME CONSTRAINT told_one TO announcement_recipients_one;
ALTER TABLE standings RENAME TO approvals;
ALTER SEQUENCE standings_id_seq RENAME TO approvals_id_seq;
ALTER TABLE retirements RENAME TO deletions;
ALTER SEQUENCE retirements_id_seq RENAME TO deletions_id_seq;
ALTER TABLE retiring_days RENAME TO deletion_runs;
ALTER TABLE waivers RENAME COLUMN goes TO expires;

-- +goose Down
ALTER TABLE waivers RENAME COLUMN expires TO goes;
ALTER TABLE deletion_runs RENAME TO retiring_days;
ALTER SEQUENCE deletions_id_seq RENAME TO retirements_id_seq;
ALTER TABLE deletions RENAME TO retirements;
ALTER SEQUENCE approvals_id_seq RENAME TO standings_id_seq;
ALTER TABLE approvals RENAME TO standings;
ALTER TABLE announcement_recipients RENAME CONSTRAINT announcement_recipients_one TO told_one;
ALTER TABLE announcement_recipients RENAME COLUMN announcement_id TO telling_id;
ALTER TABLE announcement_recipients RENAME TO told;
ALTER SEQUENCE announcements_id_seq RENAME TO tellings_id_seq;
ALTER TABLE announcements RENAME TO tellings;
ALTER TABLE signups RENAME COLUMN imported_by TO brought_by;
ALTER TABLE signups RENAME COLUMN self_report TO told;
