package signup_test

import (
	"testing"

	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
)

func adult(id string, state signup.State) signup.SignUp {
	return signup.SignUp{ID: id, Name: "Amaya Reyes", State: state}
}

func child(id string, adult ref.Person) signup.SignUp {
	return signup.SignUp{ID: id, Minor: true, State: signup.Confirmed, Adult: "amaya  reyes", AdultID: adult}
}

func TestAdultIsFoundByID(t *testing.T) {
	staff := []team.Staff{{Person: "sweep", Name: "Amaya Reyes"}}
	two := []signup.SignUp{adult("one", signup.Confirmed), adult("two", signup.Waiting)}
	for _, tt := range []struct {
		name   string
		child  signup.SignUp
		places []signup.SignUp
		want   ref.Person
	}{
		{"the second of two with one name", child("k", "two"), two, "two"},
		{"one of the staff with that name", child("k", "sweep"), two, "sweep"},
		{"without an id the first with the name", child("k", ""), two, "one"},
		{"one who left and came again", child("k", "one"), []signup.SignUp{adult("one", signup.Withdrawn), two[1]},
			"two"},
		{"nobody but the staff", child("k", "one"), nil, "sweep"},
		{"a grown-up has none", two[0], two, ""},
		{"a minor of that name is none", child("k", "m"), []signup.SignUp{{ID: "m", Name: "Amaya Reyes", Minor: true}},
			"sweep"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, found := tt.child.AdultAmong(signup.Adults(tt.places, staff))
			if got.ID != tt.want || found != (tt.want != "") {
				t.Errorf("found %q, %v; want %q", got.ID, found, tt.want)
			}
		})
	}
}

// Two adults with the same name each answer for children of their own.
func TestNamesakesHaveTheirOwnChildren(t *testing.T) {
	one, two := adult("one", signup.Confirmed), adult("two", signup.Confirmed)
	a, b, c := child("a", "one"), child("b", "two"), child("c", "two")
	all := []signup.SignUp{one, two, a, b, c}
	if n := len(signup.Charges(one, all, nil)); n != 1 {
		t.Errorf("one answers for %d, want 1", n)
	}
	if n := len(signup.Charges(two, all, nil)); n != 2 {
		t.Errorf("two answers for %d, want 2", n)
	}
	if n := signup.MinorsOf(b, all, nil); n != 1 {
		t.Errorf("%d other minors of two, want 1", n)
	}
	if signup.AloneWithChild(a, all, nil) == "" {
		t.Error("one is alone with a child, and nobody says so")
	}
	two.State = signup.Withdrawn // who gives the place back still answers for them
	if n := len(signup.Charges(two, []signup.SignUp{two, b, c}, nil)); n != 2 {
		t.Errorf("two answers for %d after they withdrew, want 2", n)
	}
	if n := signup.MinorsOf(b, []signup.SignUp{b, c}, nil); n != 1 {
		t.Errorf("%d other minors of an adult who is not on the hike, want 1", n)
	}
}
