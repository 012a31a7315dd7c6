package postgres

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/hike"
	"saltbush/internal/plan"
)

// hikeColumns are read by scanHike in this order; staff come as one JSON array.
const hikeColumns = `
	h.id,
	h.trail_id,
	h.title,
	h.notice,
	h.meet,
	h.start,
	h.places,
	h.pace,
	h.state,
	h.on_call_name,
	h.on_call_phone,
	h.on_call_email,
	h.deputy_name,
	h.deputy_phone,
	h.deputy_email,
	h.on_call_accepted,
	h.forecast,
	h.decision,
	h.called_off_because,
	h.created,
	(SELECT zone FROM trails WHERE id = h.trail_id) AS zone,
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
	(SELECT rules FROM house) AS house`

// hikeScan holds a hike while its columns arrive.
type hikeScan struct {
	h                         hike.Hike
	forecast, decision, staff []byte
	house                     []byte
	zone                      string
	accepted                  *time.Time // by on-call
}

func (s *hikeScan) targets() []any {
	h := &s.h
	return []any{&h.ID, &h.Trail, &h.Title, &h.Notice, &h.Meet, &h.Start, &h.Places, &h.Pace, &h.State,
		&h.OnCall.Name, &h.OnCall.Phone, &h.OnCall.Email, &h.Deputy.Name, &h.Deputy.Phone, &h.Deputy.Email,
		&s.accepted, &s.forecast, &s.decision, &h.CalledOffBecause, &h.Created, &s.zone, &s.staff, &s.house}
}

// hike puts the instants into the trailhead's zone and unpacks the JSON columns.
func (s *hikeScan) hike() (hike.Hike, error) {
	h := s.h
	loc := hike.Trail{Zone: s.zone}.Location()
	h.Meet, h.Start = h.Meet.In(loc), h.Start.In(loc)
	if s.accepted != nil {
		h.OnCallAccepted = *s.accepted
	}
	if s.forecast != nil {
		h.Forecast = new(plan.Forecast)
		if err := json.Unmarshal(s.forecast, h.Forecast); err != nil {
			return h, fmt.Errorf("forecast: %w", err)
		}
	}
	if s.decision != nil {
		if err := json.Unmarshal(s.decision, &h.Decision); err != nil {
			return h, fmt.Errorf("decision: %w", err)
		}
	}
	if err := json.Unmarshal(s.staff, &h.Staff); err != nil {
		return h, fmt.Errorf("staff: %w", err)
	}
	var err error
	h.House, err = hike.ReadRules(s.house)
	return h, err
}

func loadHike(ctx context.Context, q querier, id hike.HikeID, lock string) (hike.Hike, error) {
	var s hikeScan
	err := q.QueryRow(ctx, `SELECT`+hikeColumns+` FROM hikes h WHERE h.id = $1 `+lock, id).Scan(s.targets()...)
	if err != nil {
		return hike.Hike{}, err
	}
	return s.hike()
}

// Hike loads a hike with its staff.
func (db *DB) Hike(ctx context.Context, id hike.HikeID) (hike.Hike, error) {
	h, err := loadHike(ctx, db.pool, id, "")
	return h, found(err, "load hike %d", id)
}

// AddHike stores a hike with its staff.
func (db *DB) AddHike(ctx context.Context, h hike.Hike) (id hike.HikeID, err error) {
	args, err := hikeArgs(h)
	if err != nil {
		return 0, err
	}
	err = pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		row := tx.QueryRow(ctx, `
			INSERT INTO hikes (
				trail_id, title, notice, meet, start, places, pace, state, on_call_name, on_call_phone, on_call_email,
				deputy_name, deputy_phone, deputy_email, on_call_accepted, forecast, decision, called_off_because, created
			) VALUES (
				@trail_id, @title, @notice, @meet, @start, @places, @pace, @state, @on_call_name, @on_call_phone, @on_call_email,
				@deputy_name, @deputy_phone, @deputy_email, @on_call_accepted, @forecast, @decision, @called_off_because, @created
			) RETURNING id`, args)
		if err := row.Scan(&id); err != nil {
			return err
		}
		return replaceStaff(ctx, tx, id, h.Staff)
	})
	return id, found(err, "add hike %q", h.Title)
}

func hikeArgs(h hike.Hike) (pgx.NamedArgs, error) {
	var forecast, decision []byte
	var err error
	if h.Forecast != nil {
		if forecast, err = json.Marshal(h.Forecast); err != nil {
			return nil, fmt.Errorf("forecast: %w", err)
		}
	}
	if h.Decision.Made() {
		if decision, err = json.Marshal(h.Decision); err != nil {
			return nil, fmt.Errorf("decision: %w", err)
		}
	}
	return pgx.NamedArgs{
		"id": h.ID, "trail_id": h.Trail, "title": h.Title, "notice": h.Notice, "meet": h.Meet, "start": h.Start,
		"places": h.Places, "pace": h.Pace, "state": h.State,
		"on_call_name": h.OnCall.Name, "on_call_phone": h.OnCall.Phone, "on_call_email": h.OnCall.Email,
		"deputy_name": h.Deputy.Name, "deputy_phone": h.Deputy.Phone, "deputy_email": h.Deputy.Email,
		"on_call_accepted": orNull(h.OnCallAccepted),
		"forecast":         forecast, "decision": decision, "called_off_because": h.CalledOffBecause, "created": h.Created,
	}, nil
}

// replaceStaff keeps the person ids, by which the roll knows them.
func replaceStaff(ctx context.Context, tx pgx.Tx, id hike.HikeID, staff []hike.Staff) error {
	batch := &pgx.Batch{}
	batch.Queue(`DELETE FROM hike_staff WHERE hike_id = $1`, id)
	for _, s := range staff {
		batch.Queue(`INSERT INTO hike_staff (person, hike_id, account_id, role, answer, answered) VALUES ($1, $2, $3, $4, $5, $6)`,
			s.Person, id, s.Account, s.Role, cmp.Or(s.Answer, hike.AnswerAsked), orNull(s.Answered))
	}
	return tx.SendBatch(ctx, batch).Close()
}

// ChangeHike applies change with the hike locked and saves the result.
func (db *DB) ChangeHike(ctx context.Context, id hike.HikeID, change func(*hike.Hike) error) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		h, err := loadHike(ctx, tx, id, "FOR UPDATE OF h")
		if err != nil {
			return err
		}
		if err := change(&h); err != nil {
			return err
		}
		return saveHike(ctx, tx, h)
	})
	return found(err, "change hike %d", id)
}

func saveHike(ctx context.Context, tx pgx.Tx, h hike.Hike) error {
	args, err := hikeArgs(h)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `
		UPDATE hikes SET
			trail_id = @trail_id, title = @title, notice = @notice, meet = @meet, start = @start, places = @places,
			pace = @pace, state = @state, on_call_name = @on_call_name, on_call_phone = @on_call_phone,
			on_call_email = @on_call_email, deputy_email = @deputy_email, on_call_accepted = @on_call_accepted,
			deputy_name = @deputy_name, deputy_phone = @deputy_phone, forecast = @forecast,
			decision = @decision, called_off_because = @called_off_because,
			closed = CASE WHEN @state = 'closed' THEN coalesce(closed, now()) END
		WHERE id = @id`, args)
	if err != nil {
		return err
	}
	if err := replaceStaff(ctx, tx, h.ID, h.Staff); err != nil || h.State != hike.Closed {
		return err
	}
	return holdIncident(ctx, tx, h.ID, time.Now())
}

// Hikes lists the hikes that start within [from, to), earliest first, in one query.
func (db *DB) Hikes(ctx context.Context, from, to time.Time) ([]hike.Listed, error) {
	rows, _ := db.pool.Query(ctx, `
		SELECT`+hikeColumns+`,
			(SELECT count(*) FROM signups s WHERE s.hike_id = h.id AND s.state = 'confirmed'),
			(SELECT count(*) FROM signups s WHERE s.hike_id = h.id AND s.state = 'waiting'),
			(SELECT count(*) FROM signups s WHERE s.hike_id = h.id AND s.state IN ('asked', 'offered') AND s.held_until > now()),
			(SELECT result FROM plans p WHERE p.hike_id = h.id ORDER BY p.id DESC LIMIT 1),
			to_jsonb(t) - 'profile' - 'created'
		FROM hikes h
		JOIN trails t ON t.id = h.trail_id
		WHERE h.start >= $1 AND h.start < $2
		ORDER BY h.start, h.id`, from, to)
	list, err := pgx.CollectRows(rows, scanListed)
	return list, found(err, "list hikes")
}

func scanListed(row pgx.CollectableRow) (l hike.Listed, err error) {
	var s hikeScan
	var result, trail []byte
	if err = row.Scan(append(s.targets(), &l.Confirmed, &l.Waiting, &l.Held, &result, &trail)...); err != nil {
		return l, err
	}
	if l.Hike, err = s.hike(); err != nil {
		return l, err
	}
	if result != nil {
		l.Plan = new(plan.Plan)
		if err = json.Unmarshal(result, l.Plan); err != nil {
			return l, fmt.Errorf("plan: %w", err)
		}
	}
	l.Trail, err = listedTrail(trail)
	return l, err
}
