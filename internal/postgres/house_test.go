package postgres_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"saltbush/internal/hike"
)

func TestHouseWithoutARowHasTheDefaults(t *testing.T) {
	t.Parallel()
	db, _ := open(t)
	h, err := db.House(context.Background())
	if err != nil || h.Rules != hike.DefaultRules() || h.Organisation != "" {
		t.Errorf("got %+v, %v", h, err)
	}
}

func TestRulesReachTheHikesAndTheirHistoryStands(t *testing.T) {
	t.Parallel()
	ctx, at := context.Background(), time.Date(2027, 3, 1, 9, 0, 0, 0, time.UTC)
	db, _ := open(t)
	h := mustHike(t, db, 8)
	if err := db.SaveHouse(ctx, hike.House{Organisation: "Dry Fork Walkers", Emergency: "911", Zone: "America/Phoenix"}); err != nil {
		t.Fatal(err)
	}
	set := func(ratio int, reason string) error {
		return db.ChangeHouse(ctx, func(h *hike.House) ([]hike.HouseChange, error) {
			to := h.Rules
			to.Ratio = ratio
			return h.Rule(to, reason, "Juniper Vale", at)
		})
	}
	if err := set(6, ""); err != nil {
		t.Fatal(err)
	}
	var invalid hike.Invalid
	if err := set(12, ""); !errors.As(err, &invalid) {
		t.Errorf("toward risk without a reason: %v", err)
	}
	got, err := db.Hike(ctx, h.ID)
	if err != nil || got.Rules().Ratio != 6 {
		t.Errorf("the hike's ratio is %d, %v; want the house's 6", got.Rules().Ratio, err)
	}
	list, err := db.HouseChanges(ctx, 10)
	if err != nil || len(list) != 1 || list[0].From != "8 people" || list[0].To != "6 people" || list[0].By != "Juniper Vale" || !list[0].At.Equal(at) {
		t.Errorf("history %+v, %v", list, err)
	}
	if _, err := db.Pool().Exec(ctx, `UPDATE house_changes SET reason = 'better'`); err == nil {
		t.Error("the history was changed")
	}
	if _, err := db.Pool().Exec(ctx, `DELETE FROM house_changes`); err == nil {
		t.Error("the history was deleted")
	}
}
