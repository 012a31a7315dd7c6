package postgres

import (
	"context"
	"slices"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// placeGroup counts the sign-ups of a hike with the same state and time until which a place is
// held.
type placeGroup struct {
	State     signup.State
	HeldUntil time.Time
	N         int
}

// placeGroups counts all sign-ups of a hike. SignUp.HoldsPlace decides which of them take a
// place.
type placeGroups []placeGroup

// groupsSQL reads the groups of the hike h.
const groupsSQL = `
	SELECT
		state,
		held_until AS helduntil,
		count(*) AS n
	FROM signups
	WHERE hike_id = h.id
	GROUP BY state, held_until`

func (db *DB) placeGroups(ctx context.Context, id ref.Hike) (placeGroups, error) {
	return many[placeGroup](ctx, db, `
		SELECT g.* FROM hikes h CROSS JOIN LATERAL (`+groupsSQL+`) g WHERE h.id = @id`, args{"id": id})
}

func (g placeGroup) holds(now time.Time) bool {
	return signup.SignUp{State: g.State, HeldUntil: g.HeldUntil}.HoldsPlace(now)
}

// taken counts the places that are taken.
func (list placeGroups) taken(now time.Time) (n int) {
	for _, g := range list {
		if g.holds(now) {
			n += g.N
		}
	}
	return n
}

// count counts the sign-ups in a state.
func (list placeGroups) count(s signup.State) (n int) {
	for _, g := range list {
		if g.State == s {
			n += g.N
		}
	}
	return n
}

// lapsed reports whether an offer was not taken in time.
func (list placeGroups) lapsed(now time.Time) bool {
	return slices.ContainsFunc(list, func(g placeGroup) bool { return g.State == signup.Offered && !g.holds(now) })
}

// lockPlaces locks a hike and loads its sign-ups. Every change of a sign-up locks its hike
// first.
func (db *DB) lockPlaces(ctx context.Context, id ref.Hike) (hike.Hike, []signup.SignUp, error) {
	h, err := db.loadHike(ctx, id, forUpdate)
	if err != nil {
		return h, nil, err
	}
	list, err := db.SignUps(ctx, id)
	return h, list, err
}

// lockPlace locks the hike of a sign-up and loads both.
func (db *DB) lockPlace(ctx context.Context, id string) (h hike.Hike, s signup.SignUp, err error) {
	if s, err = db.SignUpByID(ctx, id); err != nil {
		return h, s, err
	}
	if h, err = db.loadHike(ctx, s.Hike, forUpdate); err != nil {
		return h, s, err
	}
	s, err = db.SignUpByID(ctx, id) // again, under the lock
	return h, s, err
}

// ServePlaces locks a hike and serves its waiting list.
func (db *DB) ServePlaces(
	ctx context.Context, id ref.Hike, now time.Time, mails ...hike.Mails,
) (moved []signup.SignUp, err error) {
	err = db.inTx(ctx, func(ctx context.Context) error {
		h, err := db.loadHike(ctx, id, forUpdate)
		if err != nil {
			return err
		}
		if moved, err = db.serve(ctx, h, now, ""); err != nil {
			return err
		}
		return db.queueFor(ctx, now, mails, moved)
	})
	return moved, wrapErr(err, "serve places of hike %d", id)
}

// serve changes sign-ups by Hike.Serve. It loads the list only if that may change something: an
// offer lapsed, or a place is free and somebody waits.
func (db *DB) serve(ctx context.Context, h hike.Hike, now time.Time, acting string) ([]signup.SignUp, error) {
	groups, err := db.placeGroups(ctx, h.ID)
	if err != nil {
		return nil, err
	}
	free := groups.taken(now) < h.Places && groups.count(signup.Waiting) > 0
	if !free && !groups.lapsed(now) {
		return nil, nil
	}
	list, err := db.SignUps(ctx, h.ID)
	if err != nil {
		return nil, err
	}
	moved := h.Serve(now, list, acting)
	for _, s := range moved {
		if err := db.updateSignUp(ctx, s); err != nil {
			return nil, err
		}
	}
	return moved, nil
}

// PlacesOf loads the sign-ups of several hikes at once.
func (db *DB) PlacesOf(ctx context.Context, hikes []ref.Hike) (map[ref.Hike][]signup.SignUp, error) {
	list, err := db.signUpsWhere(ctx, `hike_id = ANY(@hikes) ORDER BY asked_order`, args{"hikes": hikes})
	by := map[ref.Hike][]signup.SignUp{}
	for _, s := range list {
		by[s.Hike] = append(by[s.Hike], s)
	}
	return by, wrapErr(err, "list places of %d hikes", len(hikes))
}
