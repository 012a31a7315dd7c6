package postgres_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/postgres"
	"saltbush/internal/retention"
)

// impersonal lists the columns, in tables about people on hikes, that say nothing about a
// person: IDs, and what the program needs.
func impersonal() map[string][]string {
	return map[string][]string{
		"signups":       {"id", "hike_id", "asked_order", "held_until"},
		"medical_cards": {"signup_id", "hike_id", "key_id", "wrapped", "written"},
		"rides":         {"hike_id", "told_times"},
		"links":         {"hash", "purpose", "expires", "used"},
		"day_links": {"id", "hash", "hike_id", "part", "made", "made_by", "expires", "last_used",
			"withdrawn"},
		"announcement_recipients": {"announcement_id", "account_id", "remind", "reminder"},
		"roll_events":             {"id", "hike_id", "seq", "at", "recorded"},
		"waivers":                 {"hike_id", "expires"},
		"mail_choices":            {"topic", "token", "stopped"},
		"card_openings":           {"id", "hike_id", "ground", "at"},
		"outbox": {
			"id", "key", "state", "created", "next_try", "useless_at", "sent", "tries", "channel", "topic", "stop",
		},
	}
}

// otherTables lists the tables with nothing about people who sign up, by what they hold.
func otherTables() map[string]string {
	return map[string]string{
		"trails and hikes": `trails trail_uploads trail_points trail_normals scout_reports closures drives hikes plans
			announcements shuttles calendar_entries`,
		"staff": `accounts absences approvals certificates observed_hikes hike_staff staff_declines sessions sign_ins
			two_steps passkeys push_subscriptions calendar_feeds`,
		"the house":          `house certificate_kinds risk_texts form_key card_key push_keys`,
		"logs, never edited": `audit_log house_changes deletions deletion_runs watch_log legal_holds`,
		"the watcher":        `watch_rungs watch_pulse`,
	}
}

// Every new column is either a personal field in the registry of package retention, or listed
// here as impersonal.
func TestEveryColumnIsPersonalOrNamedHere(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	personal := map[string][]string{}
	for _, f := range retention.Fields() {
		if f.Table == "" && !slices.Contains(personal["signups"], f.Column) {
			personal["signups"] = append(personal["signups"], f.Column)
		}
	}
	for _, c := range retention.Columns() {
		personal[c.Table] = append(personal[c.Table], c.Name)
	}
	var others []string
	for _, tables := range otherTables() {
		others = append(others, strings.Fields(tables)...)
	}
	stored := columnsOf(t, db)
	for table, columns := range stored {
		if slices.Contains(others, table) {
			continue
		}
		for _, c := range columns {
			isPersonal, isNot := slices.Contains(personal[table], c), slices.Contains(impersonal()[table], c)
			if isPersonal == isNot {
				t.Errorf("%s.%s: in the registry of personal fields %v, named as impersonal %v",
					table, c, isPersonal, isNot)
			}
		}
	}
	for _, known := range []map[string][]string{personal, impersonal()} {
		for table, columns := range known {
			for _, c := range columns {
				if !slices.Contains(stored[table], c) {
					t.Errorf("%s.%s is no column of the database", table, c)
				}
			}
		}
	}
}

// columnsOf lists the columns of every table.
func columnsOf(t *testing.T, db *postgres.DB) map[string][]string {
	t.Helper()
	rows, err := db.Pool().Query(context.Background(), `
		SELECT table_name::text, array_agg(column_name::text)
		FROM information_schema.columns
		JOIN information_schema.tables USING (table_schema, table_name)
		WHERE table_schema = 'public' AND table_type = 'BASE TABLE' AND table_name NOT LIKE 'goose%'
		GROUP BY table_name`)
	if err != nil {
		t.Fatal(err)
	}
	stored := map[string][]string{}
	var table string
	var columns []string
	_, err = pgx.ForEachRow(rows, []any{&table, &columns}, func() error {
		stored[table] = slices.Clone(columns)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return stored
}
