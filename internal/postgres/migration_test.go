package postgres_test

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"

	"saltbush/internal/localpg/pgtest"
	"saltbush/internal/postgres"
	"saltbush/migrations"
)

func TestMigrateUpDownUp(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	_, dsn := open(t)
	first := dump(t, dsn)
	if err := postgres.MigrateDown(ctx, dsn); err != nil {
		t.Fatal(err)
	}
	if b := dump(t, dsn); bytes.Contains(b, []byte("CREATE TABLE")) {
		t.Errorf("tables are left after every step back:\n%s", b)
	}
	if err := postgres.Migrate(ctx, dsn); err != nil {
		t.Fatal(err)
	}
	if again := dump(t, dsn); !bytes.Equal(first, again) {
		t.Errorf("up, down, up made another schema:\n%s", again)
	}
	applied, newest, err := postgres.SchemaVersion(ctx, dsn)
	if err != nil || applied != newest || newest == 0 {
		t.Errorf("at step %d of %d, %v", applied, newest, err)
	}
}

// before is the newest step of the version that filled testdata.
const before = 35

// renamedTables and renamedColumns map old names to new ones. A migration that renames something
// adds to them.
var (
	renamedTables = map[string]string{
		"tellings": "announcements", "told": "announcement_recipients", "standings": "approvals",
		"retirements": "deletions", "retiring_days": "deletion_runs",
	}
	renamedColumns = map[string]map[string]string{
		"signups": {"told": "self_report", "brought_by": "imported_by"},
		"told":    {"telling_id": "announcement_id"},
		"waivers": {"goes": "expires"},
	}
)

func TestMigrationsKeepEveryRow(t *testing.T) {
	t.Parallel()
	dsn := pgtest.Database(t, nil)
	migrateTo(t, dsn, before)
	restore(t, dsn, "testdata/before_00036.sql")
	first := storedIn(t, dsn)
	for table, rows := range first {
		if len(rows) == 0 {
			t.Errorf("table %s is empty, so it proves nothing", table)
		}
	}
	up := func() stored {
		t.Helper()
		if err := postgres.Migrate(context.Background(), dsn); err != nil {
			t.Fatal(err)
		}
		return storedIn(t, dsn)
	}
	second := up()
	if diff := gocmp.Diff(first.renamed().lines(), second.onlyAs(first.renamed()).lines()); diff != "" {
		t.Errorf("after all steps (-before +after):\n%s", diff)
	}
	migrateTo(t, dsn, before)
	if diff := gocmp.Diff(first.lines(), storedIn(t, dsn).lines()); diff != "" {
		t.Errorf("after the way back (-before +after):\n%s", diff)
	}
	if diff := gocmp.Diff(second.lines(), up().lines()); diff != "" {
		t.Errorf("after all steps again (-first +second):\n%s", diff)
	}
}

// A child's adult is found by name where exactly one person on the hike has the name.
func TestMigrationFindsTheAdultsByName(t *testing.T) {
	t.Parallel()
	dsn := pgtest.Database(t, nil)
	migrateTo(t, dsn, before)
	restore(t, dsn, "testdata/before_00036.sql")
	if err := postgres.Migrate(context.Background(), dsn); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"Bo Reyes":   "Amaya Reyes", // typed without care for case and blanks
		"Cleo Dunn":  "Ines Calder", // leads the hike
		"Dana Marsh": "",            // two have the name
	}
	got := map[string]string{}
	for child := range want {
		got[child] = adultOf(t, dsn, child)
	}
	if diff := gocmp.Diff(want, got); diff != "" {
		t.Errorf("adults (-want +got):\n%s", diff)
	}
}

// adultOf returns the name of the person in a child's adult_id; "" for nobody.
func adultOf(t *testing.T, dsn, child string) (name string) {
	t.Helper()
	err := connect(t, dsn).QueryRow(context.Background(), `
		SELECT coalesce(s.name, a.name, '')
		FROM signups c
		LEFT JOIN signups s ON s.id = c.adult_id
		LEFT JOIN hike_staff f ON f.person = c.adult_id
		LEFT JOIN accounts a ON a.id = f.account_id
		WHERE c.name = $1`, child).Scan(&name)
	if err != nil {
		t.Fatal(err)
	}
	return name
}

// connect opens a connection for the test.
func connect(t *testing.T, dsn string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(context.Background(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close(context.Background()) })
	return conn
}

// migrateTo takes steps up or down until a step is the last one applied.
func migrateTo(t *testing.T, dsn string, step int64) {
	t.Helper()
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		t.Fatal(err)
	}
	db := stdlib.OpenDB(*config)
	defer db.Close()
	p, err := goose.NewProvider(goose.DialectPostgres, db, migrations.Files)
	if err != nil {
		t.Fatal(err)
	}
	at, err := p.GetDBVersion(context.Background())
	if err == nil && at < step {
		_, err = p.UpTo(context.Background(), step)
	} else if err == nil {
		_, err = p.DownTo(context.Background(), step)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// restore runs a file of SQL, without triggers, after deleting the rows that migrations insert.
func restore(t *testing.T, dsn, file string) {
	t.Helper()
	rows, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	const seeded = `
		SET session_replication_role = replica;
		TRUNCATE form_key, certificate_kinds;`
	_, err = connect(t, dsn).PgConn().Exec(context.Background(), seeded+string(rows)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
}

// stored has the rows of each table, by column, and the sequences as a table of its own.
type stored map[string][]map[string]any

func storedIn(t *testing.T, dsn string) stored {
	t.Helper()
	conn := connect(t, dsn)
	tables, err := conn.Query(context.Background(), `
		SELECT tablename::text FROM pg_tables WHERE schemaname = 'public' AND tablename NOT LIKE 'goose%'`)
	if err != nil {
		t.Fatal(err)
	}
	names, err := pgx.CollectRows(tables, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	s := stored{}
	for _, name := range names {
		s[name] = rowsOf(t, conn, pgx.Identifier{name}.Sanitize())
	}
	s["sequences"] = rowsOf(t, conn, `(
		SELECT sequencename AS name, last_value FROM pg_sequences WHERE sequencename NOT LIKE 'goose%'
	)`)
	return s
}

func rowsOf(t *testing.T, conn *pgx.Conn, from string) (rows []map[string]any) {
	t.Helper()
	err := conn.QueryRow(context.Background(),
		`SELECT coalesce(jsonb_agg(to_jsonb(t)), '[]') FROM `+from+` t`).Scan(&rows)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// renamed returns old rows under the new names.
func (s stored) renamed() stored {
	now := stored{}
	for table, rows := range s {
		for _, row := range rows {
			to := map[string]any{}
			for column, value := range row {
				to[cmp.Or(renamedColumns[table][column], column)] = value
			}
			if old, is := strings.CutSuffix(fmt.Sprint(row["name"]), "_id_seq"); is && table == "sequences" {
				to["name"] = cmp.Or(renamedTables[old], old) + "_id_seq"
			}
			name := cmp.Or(renamedTables[table], table)
			now[name] = append(now[name], to)
		}
	}
	return now
}

// onlyAs returns the rows without the tables, columns and sequences that were not there before.
func (s stored) onlyAs(before stored) stored {
	old := stored{}
	for table, rows := range before {
		for _, row := range s[table] {
			known := func(o map[string]any) bool { return o["name"] == row["name"] }
			if table == "sequences" && !slices.ContainsFunc(rows, known) {
				continue
			}
			kept := map[string]any{}
			for column := range rows[0] {
				if value, here := row[column]; here {
					kept[column] = value
				}
			}
			old[table] = append(old[table], kept)
		}
	}
	return old
}

// lines returns each row as JSON, sorted.
func (s stored) lines() map[string][]string {
	all := map[string][]string{}
	for table, rows := range s {
		for _, row := range rows {
			text, _ := json.Marshal(row) // it was JSON
			all[table] = append(all[table], string(text))
		}
		slices.Sort(all[table])
	}
	return all
}
