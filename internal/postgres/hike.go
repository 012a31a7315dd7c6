package postgres

import (
	"cmp"
	"context"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/ref"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/trail"
)

const hikeColumns = `
	h.id,
	h.trail_id AS trail,
	h.title,
	h.notice,
	h.meet,
	h.start,
	h.places,
	h.pace,
	h.state,
	json_build_object('Name', h.on_call_name, 'Phone', h.on_call_phone, 'Email', h.on_call_email) AS on_call,
	json_build_object('Name', h.deputy_name, 'Phone', h.deputy_phone, 'Email', h.deputy_email) AS deputy,
	h.on_call_accepted,
	coalesce(h.on_call_override, '{}') AS on_call_override,
	coalesce(h.turn, '{}') AS turn,
	h.forecast,
	coalesce(h.decision, '{}') AS decision,
	coalesce(h.changed, '{}') AS changed,
	h.called_off_because,
	h.created,
	(SELECT coalesce(json_agg(json_build_object(
			'Person', s.person,
			'Account', s.account_id,
			'Name', a.name,
			'Phone', a.phone,
			'Role', s.role,
			'Answer', s.answer,
			'Answered', s.answered
		) ORDER BY s.role = 'leader' DESC, s.role = 'sweep' DESC, a.name), '[]')
		FROM hike_staff s JOIN accounts a ON a.id = s.account_id
		WHERE s.hike_id = h.id) AS staff,
	(SELECT zone FROM trails WHERE id = h.trail_id) AS zone,
	(SELECT rules FROM house) AS house_rules`

// hikeRow is a hike with the zone of its trailhead and the organization's rules.
type hikeRow struct {
	hike.Hike
	Zone       string
	HouseRules []byte
}

// hike converts the times to the trailhead's zone and parses the rules.
func (r hikeRow) hike() (h hike.Hike, err error) {
	h = r.Hike
	loc := trail.Trail{Zone: r.Zone}.Location()
	h.Meet, h.Start = h.Meet.In(loc), h.Start.In(loc)
	h.House, err = rules.ReadRules(r.HouseRules)
	return h, err
}

// hikeArgs are the columns of a hike that may change.
func hikeArgs(h hike.Hike) args {
	row := args{
		"id": h.ID, "trail_id": h.Trail, "title": h.Title, "notice": h.Notice, "meet": h.Meet, "start": h.Start,
		"places": h.Places, "pace": h.Pace, "state": h.State, "on_call_name": h.OnCall.Name,
		"on_call_phone": h.OnCall.Phone, "on_call_email": h.OnCall.Email, "deputy_name": h.Deputy.Name,
		"deputy_phone": h.Deputy.Phone, "deputy_email": h.Deputy.Email, "on_call_accepted": h.OnCallAccepted,
		"forecast": h.Forecast, "decision": nil, "called_off_because": h.CalledOffBecause,
		"turn": nil, "changed": nil, "on_call_override": nil,
	}
	if h.OnCallOverride.Made() {
		row["on_call_override"] = h.OnCallOverride
	}
	if h.Turn.Made() {
		row["turn"] = h.Turn
	}
	if h.Changed.Made() {
		row["changed"] = h.Changed
	}
	if h.Decision.Made() {
		row["decision"] = h.Decision
	}
	return row
}

// Locks on the row of a hike, for loadHike and loadRecord.
const (
	unlocked  = ""
	forUpdate = "FOR UPDATE OF h"
	forShare  = "FOR SHARE OF h"
)

func (db *DB) loadHike(ctx context.Context, id ref.Hike, lock string) (hike.Hike, error) {
	row, err := one[hikeRow](ctx, db, `SELECT`+hikeColumns+` FROM hikes h WHERE h.id = @id `+lock, args{"id": id})
	if err != nil {
		return hike.Hike{}, err
	}
	return row.hike()
}

// Hike loads a hike with its staff.
func (db *DB) Hike(ctx context.Context, id ref.Hike) (hike.Hike, error) {
	h, err := db.loadHike(ctx, id, unlocked)
	return h, wrapErr(err, "load hike %d", id)
}

// AddHike stores a hike with its staff.
func (db *DB) AddHike(ctx context.Context, h hike.Hike) (id ref.Hike, err error) {
	row := hikeArgs(h)
	row["created"] = h.Created
	delete(row, "id")
	err = db.inTx(ctx, func(ctx context.Context) error {
		id, err = value[ref.Hike](ctx, db, insertSQL("hikes", row)+` RETURNING id`, row)
		if err != nil {
			return err
		}
		return db.replaceStaff(ctx, id, h.Staff)
	})
	return id, wrapErr(err, "add hike %q", h.Title)
}

// replaceStaff stores the staff again with the same person IDs, because the roll refers to
// them.
func (db *DB) replaceStaff(ctx context.Context, id ref.Hike, staff []team.Staff) error {
	batch := &pgx.Batch{}
	batch.Queue(`DELETE FROM hike_staff WHERE hike_id = @id`, args{"id": id})
	for _, s := range staff {
		row := args{
			"person": s.Person, "hike_id": id, "account_id": s.Account, "role": s.Role,
			"answer": cmp.Or(s.Answer, team.AnswerAsked), "answered": s.Answered,
		}
		batch.Queue(insertSQL("hike_staff", row), row)
	}
	return db.send(ctx, batch)
}

// ChangeHike locks the hike, applies change and saves the result.
func (db *DB) ChangeHike(ctx context.Context, id ref.Hike, change func(*hike.Hike) error) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		h, err := db.loadHike(ctx, id, forUpdate)
		if err != nil {
			return err
		}
		if err := change(&h); err != nil {
			return err
		}
		return db.saveHike(ctx, h)
	})
	return wrapErr(err, "change hike %d", id)
}

// saveHike also stores when a hike was closed, by the clock of the database.
func (db *DB) saveHike(ctx context.Context, h hike.Hike) error {
	row := hikeArgs(h)
	err := db.exec(ctx, `
		UPDATE hikes SET `+assign(row, []string{"id"})+`,
			closed = CASE WHEN @state = 'closed' THEN coalesce(closed, now()) END
		WHERE id = @id`, row)
	if err != nil {
		return err
	}
	if err := db.replaceStaff(ctx, h.ID, h.Staff); err != nil || h.State != hike.Closed {
		return err
	}
	return db.holdIncident(ctx, h.ID, time.Now())
}

// listedRow is a hike in a list, with its sign-ups counted.
type listedRow struct {
	hikeRow
	ListedTrail trail.Trail
	Groups      placeGroups
	Plan        *plan.Plan
	Now         time.Time
}

func (r listedRow) listed() (l hike.Listed, err error) {
	l = hike.Listed{
		Confirmed: r.Groups.count(signup.Confirmed),
		Waiting:   r.Groups.count(signup.Waiting),
		Plan:      r.Plan,
	}
	l.Held = r.Groups.taken(r.Now) - l.Confirmed
	l.Hike, err = r.hike()
	l.Trail = l.Hike.OnListed(r.ListedTrail, l.Plan)
	return l, err
}

// Hikes lists the hikes that start within [from, to), the earliest first, in one query.
func (db *DB) Hikes(ctx context.Context, from, to time.Time) ([]hike.Listed, error) {
	rows, err := many[listedRow](ctx, db, `
		SELECT`+hikeColumns+`,
			(SELECT row_to_json(l)
				FROM (SELECT`+trailColumns+` FROM trails t WHERE t.id = h.trail_id) l) AS listed_trail,
			(SELECT coalesce(json_agg(g), '[]') FROM (`+groupsSQL+`) g) AS groups,
			(SELECT result FROM plans p WHERE p.hike_id = h.id ORDER BY p.id DESC LIMIT 1) AS plan,
			now() AS now
		FROM hikes h
		WHERE h.start >= @from AND h.start < @to
		ORDER BY h.start, h.id`, args{"from": from, "to": to})
	list := make([]hike.Listed, len(rows))
	for i, r := range rows {
		if err == nil {
			list[i], err = r.listed()
		}
	}
	return list, wrapErr(err, "list hikes")
}

// AcceptStaff records that somebody on the staff accepted.
func (db *DB) AcceptStaff(ctx context.Context, id ref.Hike, person string, now time.Time) error {
	return db.ChangeHike(ctx, id, func(h *hike.Hike) error { return h.Accept(person, now) })
}

// DeclineStaff takes somebody off the staff and stores their reason.
func (db *DB) DeclineStaff(
	ctx context.Context, id ref.Hike, person, because string, now time.Time,
) (team.Decline, error) {
	return db.decline(ctx, id, func(h *hike.Hike) (team.Decline, error) { return h.Decline(person, because, now) })
}

// DeclineOnCall clears on-call and stores the reason.
func (db *DB) DeclineOnCall(
	ctx context.Context, id ref.Hike, because string, now time.Time,
) (team.Decline, error) {
	return db.decline(ctx, id, func(h *hike.Hike) (team.Decline, error) { return h.DeclineOnCall(because, now) })
}

func (db *DB) decline(
	ctx context.Context, id ref.Hike, change func(*hike.Hike) (team.Decline, error),
) (d team.Decline, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		err := db.ChangeHike(ctx, id, func(h *hike.Hike) (err error) {
			d, err = change(h)
			return err
		})
		if err != nil {
			return err
		}
		return db.exec(ctx, `
			INSERT INTO staff_declines (hike_id, account_id, name, role, because, at)
			VALUES (@hike, nullif(@account, 0), @name, @role, @because, @at)`, args{
			"hike": id, "account": d.Account, "name": d.Name, "role": d.Role, "because": d.Because, "at": d.At,
		})
	})
	return d, wrapErr(err, "decline a part on hike %d", id)
}

// Declines lists who declined a part on the hike, the latest first.
func (db *DB) Declines(ctx context.Context, id ref.Hike) ([]team.Decline, error) {
	list, err := many[team.Decline](ctx, db, `
		SELECT
			d.hike_id AS hike,
			coalesce(d.account_id, 0) AS account,
			coalesce(a.name, d.name) AS name,
			d.role,
			d.because,
			d.at
		FROM staff_declines d
		LEFT JOIN accounts a ON a.id = d.account_id
		WHERE d.hike_id = @hike
		ORDER BY d.at DESC`, args{"hike": id})
	return list, wrapErr(err, "list declines of hike %d", id)
}

// SavePlan stores a plan besides those before it.
func (db *DB) SavePlan(ctx context.Context, p hike.StoredPlan) error {
	_, err := db.savePlan(ctx, p)
	return wrapErr(err, "save plan of hike %d", p.Hike)
}

func (db *DB) savePlan(ctx context.Context, p hike.StoredPlan) (id int64, err error) {
	row := args{
		"hike_id": p.Hike, "made": p.Made, "made_by": p.By, "model": p.Plan.Model, "inputs": p.Inputs,
		"result": p.Plan,
	}
	return value[int64](ctx, db, insertSQL("plans", row)+` RETURNING id`, row)
}

// LatestPlan returns the newest plan of a hike.
func (db *DB) LatestPlan(ctx context.Context, id ref.Hike) (hike.StoredPlan, error) {
	p, err := one[hike.StoredPlan](ctx, db, `
		SELECT
			id,
			hike_id AS hike,
			made,
			made_by AS by,
			inputs,
			result AS plan
		FROM plans
		WHERE hike_id = @id
		ORDER BY id DESC
		LIMIT 1`, args{"id": id})
	p.Hike = id
	return p, wrapErr(err, "load plan of hike %d", id)
}

// plansCached is how many plans are cached. Our judgment: more than the hikes of a season.
// Plans never change, so the cache is never stale.
const plansCached = 2000

// planCache has plans that were read, by ID. They must not be changed.
type planCache struct {
	mu   sync.Mutex
	byID map[int64]*plan.Plan
}

// planRow is a plan with its ID.
type planRow struct {
	ID     int64
	Result *plan.Plan
}

// plansByID returns plans by their IDs. It reads only those that are not cached.
func (db *DB) plansByID(ctx context.Context, ids []int64) (map[int64]*plan.Plan, error) {
	out, unread := db.plans.get(ids)
	if len(unread) == 0 {
		return out, nil
	}
	rows, err := many[planRow](ctx, db, `SELECT id, result FROM plans WHERE id = ANY(@ids)`, args{"ids": unread})
	for _, r := range rows {
		out[r.ID] = r.Result
	}
	if err == nil {
		db.plans.put(out)
	}
	return out, err
}

// get returns the plans that are cached, and the IDs of the others. The ID 0 is no plan.
func (k *planCache) get(ids []int64) (out map[int64]*plan.Plan, unread []int64) {
	k.mu.Lock()
	defer k.mu.Unlock()
	out = map[int64]*plan.Plan{}
	for _, id := range ids {
		if p := k.byID[id]; p != nil {
			out[id] = p
		} else if id != 0 {
			unread = append(unread, id)
		}
	}
	return out, unread
}

func (k *planCache) put(all map[int64]*plan.Plan) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.byID == nil || len(k.byID) > plansCached {
		k.byID = map[int64]*plan.Plan{}
	}
	for id, p := range all {
		k.byID[id] = p
	}
}
