package roll_test

import (
	"context"
	"net/http"
	"net/url"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/party"
	"saltbush/internal/signup"
	"saltbush/internal/site/sitetest"
)

// One tap is about those who are here and whose water nobody has looked at; who lacks is written apart.
func TestAllShowedTheirWater(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	v, people := s.SignIn(t, sitetest.Leader), s.People(t, 1)
	post := func(kind string, more url.Values) sitetest.Page {
		form := url.Values{"event": {uuid.NewString()}, "kind": {kind}}
		for k, list := range more {
			form[k] = list
		}
		return v.Post(rollPath, form)
	}
	amaya, wren := people["Amaya Reyes"], people["Wren Abara"]
	all := url.Values{"all": {"here"}, "litres": {"4"}}
	post("water", all).Want(http.StatusUnprocessableEntity).Shows("The water of everybody here has been checked.")
	post("here", url.Values{"person": {string(amaya)}}).Want(http.StatusSeeOther)
	post("here", url.Values{"person": {string(wren)}}).Want(http.StatusSeeOther)
	post("water", url.Values{"litres": {"0.3"}, "person": {string(amaya)}}).Want(http.StatusSeeOther)
	post("water", all).Want(http.StatusSeeOther)
	state := s.Roll(t, 1).State()
	for id, want := range map[party.PersonID]float64{amaya: 0.3, wren: 4} {
		if p, _ := state.Person(id); !p.Water.Known || p.Water.Litres.Litres() != want {
			t.Errorf("%s has %+v, want %g", p.Name, p.Water, want)
		}
	}
	post("water", url.Values{"litres": {"1"}, "person": {string(wren)}}).Want(http.StatusSeeOther)
	if p, _ := s.Roll(t, 1).State().Person(wren); p.Water.Litres.Litres() != 1 {
		t.Errorf("%s has %+v after they were found to lack, want 1", p.Name, p.Water)
	}
}

// The leader sees shoes, and that something was said about health, but not what.
func TestShoesAndHealthAtTheRow(t *testing.T) {
	t.Parallel()
	s := sitetest.Pages(t, sitetest.Planned, time.Now)
	id := s.People(t, 1)["Amaya Reyes"]
	_, err := s.DB.ChangeSignUp(context.Background(), string(id), time.Now(), func(x *signup.SignUp) error {
		x.SelfReport.Shoes, x.SelfReport.Health = "old sandals", true
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	s.SignIn(t, sitetest.Leader).Get(rollPath).Want(http.StatusOK).
		Shows("Said they would wear old sandals. Check.", "Said yes to a question about health.")
	// The other leader sweeps this hike.
	s.SignIn(t, sitetest.OtherLeader).Get(rollPath).Want(http.StatusOK).Hides("old sandals", "question about health")
}
