package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

// CertificateKinds lists the certificates the organization asks for, in the order in which they
// were added.
func (db *DB) CertificateKinds(ctx context.Context) ([]team.CertificateKind, error) {
	list, err := many[team.CertificateKind](ctx, db, `
		SELECT
			name,
			leader,
			sweep,
			minors,
			shared
		FROM certificate_kinds
		ORDER BY made`, nil)
	return list, wrapErr(err, "list kinds of certificates")
}

// SaveCertificateKind adds a kind, or changes the one with that name.
func (db *DB) SaveCertificateKind(ctx context.Context, k team.CertificateKind) error {
	return wrapErr(db.upsert(ctx, "certificate_kinds", "name", args{
		"name": k.Name, "leader": k.Leader, "sweep": k.Sweep, "minors": k.Minors, "shared": k.Shared,
	}), "save kind of certificate %q", k.Name)
}

// RemoveCertificateKind removes a kind; certificates on record stay.
func (db *DB) RemoveCertificateKind(ctx context.Context, name string) error {
	err := db.execOne(ctx, `DELETE FROM certificate_kinds WHERE name = @name`, args{"name": name})
	return wrapErr(err, "remove kind of certificate %q", name)
}

// Qualifications loads the records of every active account, by name.
func (db *DB) Qualifications(ctx context.Context) ([]team.Qualification, error) {
	list, err := db.qualifications(ctx, 0)
	return list, wrapErr(err, "list qualifications")
}

// Qualification loads one person's record.
func (db *DB) Qualification(ctx context.Context, account ref.Account) (team.Qualification, error) {
	list, err := db.qualifications(ctx, account)
	if err == nil && len(list) == 0 {
		err = pgx.ErrNoRows
	}
	if err != nil {
		return team.Qualification{}, wrapErr(err, "load qualification of %d", account)
	}
	return list[0], nil
}

// approvalRow is an approval with its account.
type approvalRow struct {
	Account ref.Account
	team.Approval
}

// walkedRow is a closed hike, with the zone of its trailhead.
type walkedRow struct {
	team.Walked
	Zone string
}

// personRow is an account as its qualification shows it.
type personRow struct {
	Account            ref.Account
	Name, Email, Phone string
}

// The parts of a record, of one account or of every active one.
const (
	whoseSQL  = `(a.id = @account OR @account = 0 AND a.active)`
	peopleSQL = `
		SELECT
			a.id AS account,
			a.name,
			a.email,
			a.phone
		FROM accounts a
		WHERE ` + whoseSQL + `
		ORDER BY lower(a.name), a.id`
	approvalsSQL = `
		SELECT
			s.id,
			s.account_id AS account,
			s.from_day AS from,
			s.level,
			s.max_class,
			s.endorsements,
			s.status,
			s.reason,
			s.by,
			s.written
		FROM approvals s
		JOIN accounts a ON a.id = s.account_id
		WHERE ` + whoseSQL + `
		ORDER BY s.from_day, s.written, s.id`
	certificatesSQL = `
		SELECT
			c.id,
			c.account_id AS account,
			c.kind,
			c.issuer,
			c.number,
			c.through,
			c.evidence
		FROM certificates c
		JOIN accounts a ON a.id = c.account_id
		WHERE ` + whoseSQL + `
		ORDER BY c.kind, c.through DESC NULLS FIRST`
	observedSQL = `
		SELECT
			o.id,
			o.account_id AS account,
			o.day,
			o.trail,
			o.mentor,
			o.skills,
			o.result,
			o.note
		FROM observed_hikes o
		JOIN accounts a ON a.id = o.account_id
		WHERE ` + whoseSQL + `
		ORDER BY o.day DESC, o.id DESC`
	walkedSQL = `
		SELECT
			w.account_id AS account,
			h.id AS hike,
			h.title,
			t.name AS trail,
			h.start,
			w.role,
			t.zone
		FROM hike_staff w
		JOIN accounts a ON a.id = w.account_id
		JOIN hikes h ON h.id = w.hike_id AND h.state = 'closed'
		JOIN trails t ON t.id = h.trail_id
		WHERE ` + whoseSQL + `
		ORDER BY h.start DESC`
	absencesSQL = `
		SELECT
			b.id,
			b.account_id AS account,
			b.from_day AS from,
			b.to_day AS to,
			b.weekdays,
			b.note
		FROM absences b
		JOIN accounts a ON a.id = b.account_id
		WHERE ` + whoseSQL + `
		ORDER BY b.from_day, b.id`
)

// record is what a batch loads, a list for each part.
type record struct {
	people       []personRow
	standings    []approvalRow
	certificates []team.Certificate
	observed     []team.Observed
	walked       []walkedRow
	absences     []team.Absence
}

// qualifications loads whole records in one round trip: of one account, or of every active one
// if the number is 0.
func (db *DB) qualifications(ctx context.Context, account ref.Account) ([]team.Qualification, error) {
	var r record
	batch := &pgx.Batch{}
	of := args{"account": account}
	batch.Queue(peopleSQL, of).Query(into(&r.people))
	batch.Queue(approvalsSQL, of).Query(into(&r.standings))
	batch.Queue(certificatesSQL, of).Query(into(&r.certificates))
	batch.Queue(observedSQL, of).Query(into(&r.observed))
	batch.Queue(walkedSQL, of).Query(into(&r.walked))
	batch.Queue(absencesSQL, of).Query(into(&r.absences))
	if err := db.send(ctx, batch); err != nil {
		return nil, err
	}
	return r.byPerson(), nil
}

// byPerson assembles the record of each person.
func (r record) byPerson() []team.Qualification {
	list := make([]team.Qualification, len(r.people))
	by := map[ref.Account]*team.Qualification{}
	for i, p := range r.people {
		list[i] = team.Qualification{Account: p.Account, Name: p.Name, Email: p.Email, Phone: p.Phone}
		by[p.Account] = &list[i]
	}
	of := func(account ref.Account) *team.Qualification {
		if q := by[account]; q != nil {
			return q
		}
		return &team.Qualification{} // an account that was made active between the queries
	}
	for _, s := range r.standings {
		q := of(s.Account)
		q.Approvals = append(q.Approvals, s.Approval)
	}
	for _, c := range r.certificates {
		q := of(c.Account)
		q.Certificates = append(q.Certificates, c)
	}
	for _, o := range r.observed {
		q := of(o.Account)
		q.Observed = append(q.Observed, o)
	}
	for _, w := range r.walked {
		w.Start = w.Start.In(trail.Trail{Zone: w.Zone}.Location())
		q := of(w.Account)
		q.Walked = append(q.Walked, w.Walked)
	}
	for _, a := range r.absences {
		q := of(a.Account)
		q.Absences = append(q.Absences, a)
	}
	return list
}

// AddCertificate stores a certificate.
func (db *DB) AddCertificate(ctx context.Context, c team.Certificate) error {
	return wrapErr(db.insert(ctx, "certificates", args{
		"account_id": c.Account, "kind": c.Kind, "issuer": c.Issuer, "number": c.Number, "through": c.Through,
		"evidence": c.Evidence,
	}), "add certificate of %d", c.Account)
}

// AddApproval adds an approval of a person.
func (db *DB) AddApproval(ctx context.Context, account ref.Account, s team.Approval) error {
	return wrapErr(db.insert(ctx, "approvals", args{
		"account_id": account, "from_day": s.From, "level": s.Level, "max_class": s.MaxClass,
		"endorsements": append([]team.Endorsement{}, s.Endorsements...), // the column holds no null
		"status":       s.Status, "reason": s.Reason, "by": s.By, "written": s.Written,
	}), "add standing of %d", account)
}

// AddObserved stores a hike on which a trainee was watched.
func (db *DB) AddObserved(ctx context.Context, o team.Observed) error {
	return wrapErr(db.insert(ctx, "observed_hikes", args{
		"account_id": o.Account, "day": o.Day, "trail": o.Trail, "mentor": o.Mentor, "skills": o.Skills,
		"result": o.Result, "note": o.Note,
	}), "add observed hike of %d", o.Account)
}

// AddAbsence stores when somebody is not available.
func (db *DB) AddAbsence(ctx context.Context, a team.Absence) error {
	weekdays := make([]int, len(a.Weekdays)) // the driver would store the names of weekdays
	for i, d := range a.Weekdays {
		weekdays[i] = int(d)
	}
	return wrapErr(db.insert(ctx, "absences", args{
		"account_id": a.Account, "from_day": a.From, "to_day": a.To, "weekdays": weekdays, "note": a.Note,
	}), "add absence of %d", a.Account)
}

// RemoveAbsence removes an absence of that account.
func (db *DB) RemoveAbsence(ctx context.Context, account ref.Account, id int64) error {
	err := db.execOne(ctx, `DELETE FROM absences WHERE account_id = @account AND id = @id`,
		args{"account": account, "id": id})
	return wrapErr(err, "remove absence %d", id)
}
