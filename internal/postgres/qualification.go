package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"saltbush/internal/hike"
	"saltbush/internal/track"
)

// CertificateKinds lists what the house asks for, in the order of entering.
func (db *DB) CertificateKinds(ctx context.Context) ([]hike.CertificateKind, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT
			name,
			leader,
			sweep,
			minors,
			shared
		FROM certificate_kinds
		ORDER BY made`)
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[hike.CertificateKind])
	return list, found(err, "list kinds of certificates")
}

// SaveCertificateKind adds a kind, or changes the one of that name.
func (db *DB) SaveCertificateKind(ctx context.Context, k hike.CertificateKind) error {
	_, err := db.pool.Exec(ctx, `
		INSERT INTO certificate_kinds (name, leader, sweep, minors, shared)
		VALUES (@name, @leader, @sweep, @minors, @shared)
		ON CONFLICT (name) DO UPDATE SET leader = @leader, sweep = @sweep, minors = @minors, shared = @shared`,
		pgx.NamedArgs{"name": k.Name, "leader": k.Leader, "sweep": k.Sweep, "minors": k.Minors, "shared": k.Shared})
	return found(err, "save kind of certificate %q", k.Name)
}

// RemoveCertificateKind asks for it no more; papers on record stay.
func (db *DB) RemoveCertificateKind(ctx context.Context, name string) error {
	tag, err := db.pool.Exec(ctx, `DELETE FROM certificate_kinds WHERE name = $1`, name)
	return found(oneRow(tag, err), "remove kind of certificate %q", name)
}

// qualificationQuery loads whole records in one round trip: each part is one JSON array.
// Dates are written as 2027-03-14; hikes that were walked carry their trailhead's zone.
const qualificationQuery = `
	SELECT
		a.id,
		a.name,
		a.email,
		a.phone,
		(SELECT coalesce(json_agg(json_build_object('id', s.id, 'from', s.from_day, 'level', s.level, 'max_class', s.max_class,
				'endorsements', s.endorsements, 'status', s.status, 'reason', s.reason, 'by', s.by, 'written', s.written)
				ORDER BY s.from_day, s.written, s.id), '[]')
			FROM standings s WHERE s.account_id = a.id),
		(SELECT coalesce(json_agg(json_build_object('id', c.id, 'kind', c.kind, 'issuer', c.issuer, 'number', c.number,
				'through', c.through, 'evidence', c.evidence) ORDER BY c.kind, c.through DESC NULLS FIRST), '[]')
			FROM certificates c WHERE c.account_id = a.id),
		(SELECT coalesce(json_agg(json_build_object('id', o.id, 'day', o.day, 'trail', o.trail, 'mentor', o.mentor,
				'skills', o.skills, 'result', o.result, 'note', o.note) ORDER BY o.day DESC, o.id DESC), '[]')
			FROM observed_hikes o WHERE o.account_id = a.id),
		(SELECT coalesce(json_agg(json_build_object('hike', h.id, 'title', h.title, 'trail', t.name, 'zone', t.zone,
				'start', h.start, 'role', w.role) ORDER BY h.start DESC), '[]')
			FROM hike_staff w JOIN hikes h ON h.id = w.hike_id AND h.state = 'closed' JOIN trails t ON t.id = h.trail_id
			WHERE w.account_id = a.id),
		(SELECT coalesce(json_agg(json_build_object('id', b.id, 'from', b.from_day, 'to', b.to_day, 'weekdays', b.weekdays,
				'note', b.note) ORDER BY b.from_day, b.id), '[]')
			FROM absences b WHERE b.account_id = a.id)
	FROM accounts a
	WHERE `

// Rows of the parts as their JSON has them.
type (
	standingRow struct {
		ID           int64
		From         day
		Level        hike.Level
		MaxClass     string `json:"max_class"`
		Endorsements []hike.Endorsement
		Status       hike.Status
		Reason, By   string
		Written      time.Time
	}
	certificateRow struct {
		ID                   int64
		Kind, Issuer, Number string
		Through              day
		Evidence             string
	}
	observedRow struct {
		ID            int64
		Day           day
		Trail, Mentor string
		Skills        []string
		Result, Note  string
	}
	walkedRow struct {
		Hike               hike.HikeID
		Title, Trail, Zone string
		Start              time.Time
		Role               hike.Role
	}
	absenceRow struct {
		ID       int64
		From, To day
		Weekdays []time.Weekday
		Note     string
	}
)

// day is a date in JSON; null is no date.
type day struct{ hike.Date }

// UnmarshalJSON reads 2027-03-14 or null.
func (d *day) UnmarshalJSON(b []byte) (err error) {
	var s *string
	if err = json.Unmarshal(b, &s); err == nil && s != nil {
		d.Date, err = hike.ParseDate(*s)
	}
	return err
}

// dayArg stores no date as null.
func dayArg(d hike.Date) *time.Time { return orNull(d.Time()) }

// Qualifications loads the records of every active account, by name.
func (db *DB) Qualifications(ctx context.Context) ([]hike.Qualification, error) {
	rows, _ := db.pool.Query(ctx, qualificationQuery+`a.active ORDER BY lower(a.name), a.id`)
	list, err := pgx.CollectRows(rows, scanQualification)
	return list, found(err, "list qualifications")
}

// Qualification loads one person's record.
func (db *DB) Qualification(ctx context.Context, account int64) (hike.Qualification, error) {
	rows, _ := db.pool.Query(ctx, qualificationQuery+`a.id = $1`, account)
	q, err := pgx.CollectExactlyOneRow(rows, scanQualification)
	return q, found(err, "load qualification of %d", account)
}

func scanQualification(row pgx.CollectableRow) (q hike.Qualification, err error) {
	var standings, certificates, observed, walked, absences []byte
	if err = row.Scan(&q.Account, &q.Name, &q.Email, &q.Phone, &standings, &certificates, &observed, &walked, &absences); err != nil {
		return q, err
	}
	for _, unpack := range []func() error{
		func() error { q.Standings, err = rowsOf(standings, standingRow.standing); return err },
		func() error {
			q.Certificates, err = rowsOf(certificates, func(r certificateRow) hike.Certificate { return r.certificate(q.Account) })
			return err
		},
		func() error {
			q.Observed, err = rowsOf(observed, func(r observedRow) hike.Observed { return r.observed(q.Account) })
			return err
		},
		func() error {
			q.Walked, err = rowsOf(walked, func(r walkedRow) hike.Walked { return r.walked(q.Account) })
			return err
		},
		func() error {
			q.Absences, err = rowsOf(absences, func(r absenceRow) hike.Absence { return r.absence(q.Account) })
			return err
		},
	} {
		if err := unpack(); err != nil {
			return q, fmt.Errorf("qualification of %d: %w", q.Account, err)
		}
	}
	return q, nil
}

// rowsOf unpacks a JSON array.
func rowsOf[R, T any](packed []byte, make func(R) T) ([]T, error) {
	var rows []R
	if err := json.Unmarshal(packed, &rows); err != nil {
		return nil, err
	}
	var list []T
	for _, r := range rows {
		list = append(list, make(r))
	}
	return list, nil
}

func (r standingRow) standing() hike.Standing {
	return hike.Standing{ID: r.ID, From: r.From.Date, Level: r.Level, MaxClass: track.Class(r.MaxClass), Endorsements: r.Endorsements,
		Status: r.Status, Reason: r.Reason, By: r.By, Written: r.Written}
}

func (r certificateRow) certificate(account int64) hike.Certificate {
	return hike.Certificate{ID: r.ID, Account: account, Kind: r.Kind, Issuer: r.Issuer, Number: r.Number, Through: r.Through.Date, Evidence: r.Evidence}
}

func (r observedRow) observed(account int64) hike.Observed {
	return hike.Observed{ID: r.ID, Account: account, Day: r.Day.Date, Trail: r.Trail, Mentor: r.Mentor, Skills: r.Skills, Result: r.Result, Note: r.Note}
}

func (r walkedRow) walked(account int64) hike.Walked {
	return hike.Walked{Account: account, Hike: r.Hike, Title: r.Title, Trail: r.Trail, Start: r.Start.In(hike.Trail{Zone: r.Zone}.Location()), Role: r.Role}
}

func (r absenceRow) absence(account int64) hike.Absence {
	return hike.Absence{ID: r.ID, Account: account, From: r.From.Date, To: r.To.Date, Weekdays: r.Weekdays, Note: r.Note}
}

// AddCertificate stores a paper.
func (db *DB) AddCertificate(ctx context.Context, c hike.Certificate) error {
	return found(insertCertificate(ctx, db.pool, c), "add certificate of %d", c.Account)
}

// execer is a database or a transaction that is written to.
type execer interface {
	Exec(ctx context.Context, sql string, args ...any) (pgconn.CommandTag, error)
}

func insertCertificate(ctx context.Context, q execer, c hike.Certificate) error {
	_, err := q.Exec(ctx, `
		INSERT INTO certificates (account_id, kind, issuer, number, through, evidence)
		VALUES ($1, $2, $3, $4, $5, $6)`, c.Account, c.Kind, c.Issuer, c.Number, dayArg(c.Through), c.Evidence)
	return err
}

// AddStanding adds to the dated changes of a person.
func (db *DB) AddStanding(ctx context.Context, account int64, s hike.Standing) error {
	return found(insertStanding(ctx, db.pool, account, s), "add standing of %d", account)
}

func insertStanding(ctx context.Context, q execer, account int64, s hike.Standing) error {
	endorsements := s.Endorsements
	if endorsements == nil {
		endorsements = []hike.Endorsement{}
	}
	_, err := q.Exec(ctx, `
		INSERT INTO standings (account_id, from_day, level, max_class, endorsements, status, reason, by, written)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		account, dayArg(s.From), s.Level, string(s.MaxClass), endorsements, s.Status, s.Reason, s.By, s.Written)
	return err
}

// AddObserved stores a hike on which a trainee was watched.
func (db *DB) AddObserved(ctx context.Context, o hike.Observed) error {
	_, err := db.pool.Exec(ctx, `
		INSERT INTO observed_hikes (account_id, day, trail, mentor, skills, result, note)
		VALUES ($1, $2, $3, $4, $5, $6, $7)`, o.Account, dayArg(o.Day), o.Trail, o.Mentor, o.Skills, o.Result, o.Note)
	return found(err, "add observed hike of %d", o.Account)
}

// AddAbsence stores when somebody cannot.
func (db *DB) AddAbsence(ctx context.Context, a hike.Absence) error {
	weekdays := make([]int, len(a.Weekdays))
	for i, d := range a.Weekdays {
		weekdays[i] = int(d)
	}
	_, err := db.pool.Exec(ctx, `
		INSERT INTO absences (account_id, from_day, to_day, weekdays, note)
		VALUES ($1, $2, $3, $4, $5)`, a.Account, dayArg(a.From), dayArg(a.To), weekdays, a.Note)
	return found(err, "add absence of %d", a.Account)
}

// RemoveAbsence takes back an absence of that account.
func (db *DB) RemoveAbsence(ctx context.Context, account, id int64) error {
	tag, err := db.pool.Exec(ctx, `DELETE FROM absences WHERE account_id = $1 AND id = $2`, account, id)
	return found(oneRow(tag, err), "remove absence %d", id)
}
