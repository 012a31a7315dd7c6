package hike_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
	"saltbush/internal/signup"
)

func TestBringsInAListAsIfEachHadAsked(t *testing.T) {
	now := time.Date(2026, 11, 25, 13, 0, 0, 0, time.UTC)
	h := hike.Hike{ID: 1, State: hike.Posted, Places: 3, Meet: now.Add(72 * time.Hour), Start: now.Add(73 * time.Hour)}
	who := func(name string, state signup.State) signup.SignUp {
		return signup.SignUp{ID: name, Hike: 1, Name: name, Email: name + "@example.org", State: state}
	}
	talk := who("Talk", "")
	talk.Screening.Talk = []string{"The heat of this area is new to them."}
	namesake := who("One", "")
	namesake.Email = "another@example.org"
	child := func(name, adult string) signup.SignUp {
		s := who(name, "")
		s.Minor, s.Adult = true, adult
		return s
	}
	for _, tt := range []struct {
		name         string
		others, list []signup.SignUp
		want         []string
	}{
		{"places, a talk, then the waiting list", []signup.SignUp{who("One", signup.Confirmed)},
			[]signup.SignUp{who("Two", ""), talk, who("Four", ""), who("Five", "")},
			[]string{"confirmed", "asked", "waiting", "waiting"}},
		{"behind those who wait", []signup.SignUp{who("One", signup.Waiting)}, []signup.SignUp{who("Two", "")},
			[]string{"waiting"}},
		{"whoever is here stays", []signup.SignUp{who("One", signup.Confirmed), who("Two", signup.Waiting)},
			[]signup.SignUp{who("ONE", ""), namesake, who("Two", "")}, []string{"here", "waiting", "here"}},
		{"twice in the list", nil, []signup.SignUp{who("One", ""), who("One", "")}, []string{"confirmed", "here"}},
		{"whoever withdrew may come back", []signup.SignUp{who("One", signup.Withdrawn), who("Two", signup.TurnedAway)},
			[]signup.SignUp{who("One", ""), who("Two", "")}, []string{"confirmed", "confirmed"}},
		{"a child after its adult", nil, []signup.SignUp{who("Ana", ""), child("Bo", "Ana")},
			[]string{"confirmed", "confirmed"}},
		{"a child before its adult", nil, []signup.SignUp{child("Bo", "Ana"), who("Ana", "")},
			[]string{"wrong", "confirmed"}},
		{"more children than an adult answers for", []signup.SignUp{who("Ana", signup.Confirmed)},
			[]signup.SignUp{child("A", "Ana"), child("B", "Ana"), child("C", "Ana"), child("D", "Ana")},
			[]string{"confirmed", "confirmed", "waiting", "wrong"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			for _, b := range h.Import(tt.list, tt.others, now) {
				switch {
				case b.Here:
					got = append(got, "here")
				case b.Wrong != nil:
					got = append(got, "wrong")
				default:
					got = append(got, string(b.SignUp.State))
				}
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

func TestBringsNothingIntoAHikeThatIsOver(t *testing.T) {
	now := time.Date(2026, 11, 25, 13, 0, 0, 0, time.UTC)
	h := hike.Hike{State: hike.Closed, Places: 3, Meet: now, Start: now}
	brought := h.Import([]signup.SignUp{{Name: "One"}}, nil, now)
	if hike.ImportedWhole(brought) || brought[0].Added() {
		t.Errorf("%+v", brought)
	}
}
