package postgres

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/ref"
	"saltbush/internal/track"
	"saltbush/internal/trail"
)

// trailColumns are the columns of a trail without samples and points. Their names match the
// fields both as a row and, without underscores, as JSON.
const trailColumns = `
	t.id,
	t.name,
	t.summary,
	t.zone,
	t.surface,
	t.meeting,
	t.manager,
	t.permit_cap AS permitcap,
	NOT t.permit_staff AS permitwithoutstaff,
	t.permit_number AS permitnumber,
	t.signal,
	json_build_object(
		'Shape', t.shape,
		'HasElevation', t.heights,
		'Length', t.length_m,
		'Ascent', t.ascent_m,
		'Descent', t.descent_m,
		'Lowest', t.lowest_m,
		'Highest', t.highest_m,
		'Steepest', t.steepest
	) AS profile,
	t.created`

// trailArgs are the columns of a trail that may change.
func trailArgs(t trail.Trail) (args, error) {
	packed, err := t.Profile.MarshalBinary()
	if err != nil {
		return nil, fmt.Errorf("pack profile: %w", err)
	}
	return args{
		"id": t.ID, "name": t.Name, "summary": t.Summary, "zone": t.Zone, "surface": t.Surface,
		"meeting": t.Meeting, "manager": t.Manager, "permit_cap": t.PermitCap,
		"permit_staff": !t.PermitWithoutStaff, "permit_number": t.PermitNumber, "signal": t.Signal,
		"profile": packed, "shape": t.Profile.Shape, "heights": t.Profile.HasElevation,
		"length_m": t.Profile.Length, "ascent_m": t.Profile.Ascent, "descent_m": t.Profile.Descent,
		"lowest_m": t.Profile.Lowest, "highest_m": t.Profile.Highest, "steepest": t.Profile.Steepest,
	}, nil
}

// AddTrail stores a trail, its points and the file that it came from.
func (db *DB) AddTrail(ctx context.Context, t trail.Trail, upload []byte) (id ref.Trail, err error) {
	row, err := trailArgs(t)
	if err != nil {
		return 0, err
	}
	row["created"] = t.Created
	delete(row, "id")
	err = db.inTx(ctx, func(ctx context.Context) error {
		id, err = value[ref.Trail](ctx, db, insertSQL("trails", row)+` RETURNING id`, row)
		if err != nil {
			return err
		}
		err := db.exec(ctx, `INSERT INTO trail_uploads (trail_id, gpx) VALUES (@id, @gpx)`,
			args{"id": id, "gpx": upload})
		if err != nil {
			return err
		}
		return db.replacePoints(ctx, id, t.Points)
	})
	return id, wrapErr(err, "add trail %q", t.Name)
}

// replacePoints deletes the points and stores them again. They get new IDs.
func (db *DB) replacePoints(ctx context.Context, id ref.Trail, points []trail.Point) error {
	batch := &pgx.Batch{}
	batch.Queue(`DELETE FROM trail_points WHERE trail_id = @id`, args{"id": id})
	for _, p := range points {
		row := args{
			"trail_id": id, "kind": p.Kind, "name": p.Name, "along_m": p.Along, "note": p.Note,
			"water_seen": p.WaterSeen,
		}
		batch.Queue(insertSQL("trail_points", row), row)
	}
	return db.send(ctx, batch)
}

// Trail loads a trail with its profile and points.
func (db *DB) Trail(ctx context.Context, id ref.Trail) (trail.Trail, error) {
	t, err := db.loadTrail(ctx, id, "")
	return t, wrapErr(err, "load trail %d", id)
}

// packedTrail is a trail with the encoded samples of its profile.
type packedTrail struct {
	trail.Trail
	Packed []byte
}

func (db *DB) loadTrail(ctx context.Context, id ref.Trail, lock string) (trail.Trail, error) {
	r, err := one[packedTrail](ctx, db, `
		SELECT`+trailColumns+`,
			(SELECT json_agg(json_build_object(
					'ID', p.id,
					'Kind', p.kind,
					'Name', p.name,
					'Along', p.along_m,
					'Note', p.note,
					'WaterSeen', p.water_seen::timestamptz
				) ORDER BY p.along_m, p.id)
				FROM trail_points p
				WHERE p.trail_id = t.id) AS points,
			t.profile AS packed
		FROM trails t
		WHERE t.id = @id `+lock, args{"id": id})
	if err != nil {
		return trail.Trail{}, err
	}
	if err := r.Profile.UnmarshalBinary(r.Packed); err != nil {
		return trail.Trail{}, fmt.Errorf("unpack profile: %w", err)
	}
	return r.Trail, nil
}

// Trails lists every trail by name, without samples and points.
func (db *DB) Trails(ctx context.Context) ([]trail.Trail, error) {
	list, err := many[trail.Trail](ctx, db, `
		SELECT`+trailColumns+`,
			NULL::json AS points
		FROM trails t
		ORDER BY lower(t.name), t.id`, nil)
	return list, wrapErr(err, "list trails")
}

// ChangeTrail locks a trail, applies change and saves the result.
func (db *DB) ChangeTrail(ctx context.Context, id ref.Trail, change func(*trail.Trail) error) error {
	err := db.inTx(ctx, func(ctx context.Context) error {
		t, err := db.loadTrail(ctx, id, "FOR UPDATE OF t")
		if err != nil {
			return err
		}
		if err := change(&t); err != nil {
			return err
		}
		row, err := trailArgs(t)
		if err != nil {
			return err
		}
		if err := db.update(ctx, "trails", row); err != nil {
			return err
		}
		return db.replacePoints(ctx, id, t.Points)
	})
	return wrapErr(err, "change trail %d", id)
}

// Upload returns the file that a trail came from.
func (db *DB) Upload(ctx context.Context, id ref.Trail) ([]byte, error) {
	gpx, err := value[[]byte](ctx, db, `SELECT gpx FROM trail_uploads WHERE trail_id = @id`, args{"id": id})
	return gpx, wrapErr(err, "load upload of trail %d", id)
}

// driveRow is a drive between two trails.
type driveRow struct {
	trail.Pair
	Minutes int
}

// Roads loads the typed drives and the ends of every trail.
func (db *DB) Roads(ctx context.Context) (trail.Roads, error) {
	r := trail.Roads{Typed: map[trail.Pair]time.Duration{}, Ends: map[ref.Trail]trail.Ends{}}
	drives, err := many[driveRow](ctx, db, `SELECT from_trail AS from, to_trail AS to, minutes FROM drives`, nil)
	if err != nil {
		return r, wrapErr(err, "list drives")
	}
	for _, d := range drives {
		r.Typed[d.Pair] = time.Duration(d.Minutes) * time.Minute
	}
	trails, err := many[packedEnds](ctx, db, `SELECT id, profile FROM trails`, nil)
	for _, t := range trails {
		if err == nil {
			r.Ends[t.ID], err = t.ends()
		}
	}
	return r, wrapErr(err, "list ends of trails")
}

// packedEnds is a trail's encoded profile.
type packedEnds struct {
	ID      ref.Trail
	Profile []byte
}

// ends returns where a walk starts and ends: at the same place, except for a one-way trail.
func (e packedEnds) ends() (trail.Ends, error) {
	var p track.Profile
	if err := p.UnmarshalBinary(e.Profile); err != nil {
		return trail.Ends{}, fmt.Errorf("trail %d: unpack profile: %w", e.ID, err)
	}
	if len(p.Samples) == 0 {
		return trail.Ends{}, fmt.Errorf("trail %d: profile without samples", e.ID)
	}
	ends := trail.Ends{Start: p.Samples[0].At, End: p.Samples[0].At}
	if p.Shape == track.OneWay {
		ends.End = p.Samples[len(p.Samples)-1].At
	}
	return ends, nil
}

// SaveDrive stores a typed drive.
func (db *DB) SaveDrive(ctx context.Context, p trail.Pair, takes time.Duration) error {
	return wrapErr(db.upsert(ctx, "drives", "from_trail, to_trail", args{
		"from_trail": p.From, "to_trail": p.To, "minutes": int(takes.Minutes()),
	}), "save drive from trail %d to %d", p.From, p.To)
}

// Ground loads the reports and closures of a trail.
func (db *DB) Ground(ctx context.Context, id ref.Trail) (g trail.Ground, err error) {
	g.Scouts, err = many[trail.ScoutReport](ctx, db, `
		SELECT
			id,
			trail_id AS trail,
			walked,
			by_whom AS by,
			times,
			conditions,
			hazards,
			noted
		FROM scout_reports
		WHERE trail_id = @id
		ORDER BY walked DESC, id DESC`, args{"id": id})
	if err != nil {
		return g, wrapErr(err, "list scout reports of trail %d", id)
	}
	g.Closures, err = many[trail.Closure](ctx, db, `
		SELECT
			id,
			trail_id AS trail,
			from_day AS from,
			to_day AS to,
			why,
			source,
			blocks,
			by_whom AS by,
			noted
		FROM closures
		WHERE trail_id = @id
		ORDER BY from_day, id`, args{"id": id})
	return g, wrapErr(err, "list closures of trail %d", id)
}

// AddScoutReport stores a report besides those before it.
func (db *DB) AddScoutReport(ctx context.Context, s trail.ScoutReport) error {
	return wrapErr(db.insert(ctx, "scout_reports", args{
		"trail_id": s.Trail, "walked": s.Walked, "by_whom": s.By, "times": s.Times, "conditions": s.Conditions,
		"hazards": s.Hazards, "noted": s.Noted,
	}), "add scout report of trail %d", s.Trail)
}

// AddClosure stores a closure.
func (db *DB) AddClosure(ctx context.Context, c trail.Closure) error {
	return wrapErr(db.insert(ctx, "closures", args{
		"trail_id": c.Trail, "from_day": c.From, "to_day": c.To, "why": c.Why, "source": c.Source,
		"blocks": c.Blocks, "by_whom": c.By, "noted": c.Noted,
	}), "add closure of trail %d", c.Trail)
}

// RemoveClosure removes a closure of that trail.
func (db *DB) RemoveClosure(ctx context.Context, trail ref.Trail, id int64) error {
	err := db.execOne(ctx, `DELETE FROM closures WHERE id = @id AND trail_id = @trail`, args{"id": id, "trail": trail})
	return wrapErr(err, "remove closure %d of trail %d", id, trail)
}

// Normals returns the monthly normals of a trail.
func (db *DB) Normals(ctx context.Context, id ref.Trail) (trail.TrailNormals, error) {
	n, err := one[trail.TrailNormals](ctx, db, `
		SELECT
			trail_id AS trail,
			normals,
			source,
			typed,
			typed_by AS by
		FROM trail_normals
		WHERE trail_id = @id`, args{"id": id})
	n.Trail = id
	return n, wrapErr(err, "load normals of trail %d", id)
}

// SaveNormals replaces the monthly normals of a trail. Empty normals delete them.
func (db *DB) SaveNormals(ctx context.Context, n trail.TrailNormals) error {
	if len(n.Normals) == 0 {
		err := db.exec(ctx, `DELETE FROM trail_normals WHERE trail_id = @id`, args{"id": n.Trail})
		return wrapErr(err, "remove normals of trail %d", n.Trail)
	}
	err := db.upsert(ctx, "trail_normals", "trail_id", args{
		"trail_id": n.Trail, "normals": n.Normals, "source": n.Source, "typed": n.Typed, "typed_by": n.By,
	})
	return wrapErr(err, "save normals of trail %d", n.Trail)
}
