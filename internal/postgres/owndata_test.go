package postgres_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"saltbush/internal/card"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
)

func TestPersonIsForgotten(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, dsn := sealing(t)
	h := mustHike(t, db, 1)
	ask := func(n int) string {
		s := request(h.ID, n)
		s.Mobile = fmt.Sprintf("planted-%d", n)
		s.Name, s.Email = s.Mobile+" name", s.Mobile+"@example.org"
		s.Acknowledged, s.RiskVersion, s.Needs = true, "v1", "words"
		got, err := db.SignUp(ctx, s, now)
		if err != nil {
			t.Fatal(err)
		}
		return got.ID
	}
	placed, waits := ask(1), ask(2)
	rules := rules.DefaultRules()
	if err := db.ForgetPerson(ctx, placed, now, rules); !isRefusal(err) {
		t.Errorf("forgotten with a place ahead: %v, want a refusal", err)
	}
	if _, err := db.ChangeSignUp(ctx, waits, now, (*signup.SignUp).Withdraw); err != nil {
		t.Fatal(err)
	}
	if err := db.ForgetPerson(ctx, waits, now, rules); err != nil {
		t.Fatal(err)
	}
	if text := wholeDump(t, dsn); bytes.Contains(text, []byte("planted-2")) || !bytes.Contains(text, []byte("planted-1")) {
		t.Error("who never had a place is not gone whole, or somebody else is")
	}
	if err := db.ForgetPerson(ctx, placed, h.Start, rules); !isRefusal(err) {
		t.Errorf("forgotten on the day: %v, want a refusal", err)
	}
	if err := db.ChangeHike(ctx, h.ID, func(h *hike.Hike) error { h.State = hike.Closed; return nil }); err != nil {
		t.Fatal(err)
	}
	if err := db.ForgetPerson(ctx, placed, h.Start.Add(9*time.Hour), rules); err != nil {
		t.Fatal(err)
	}
	text := wholeDump(t, dsn)
	if n := bytes.Count(text, []byte("planted-1")); n != 1 || !bytes.Contains(text, []byte("INTO public.waivers")) {
		t.Errorf("the name is there %d times; want once, in the waivers", n)
	}
	if bytes.Contains(text, []byte("INTO public.medical_cards")) {
		t.Error("the card is there")
	}
	if list := places(t, db, h.ID); len(list) != 1 || list[0].State != signup.Confirmed {
		t.Errorf("the roll has lost its person: %+v", list)
	}
	if _, err := db.OwnCard(ctx, card.Of{Hike: h.ID, Person: placed}); !errors.Is(err, fault.ErrNotFound) {
		t.Errorf("own card: %v", err)
	}
}
