package staffing_test

import (
	"strings"
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/staffing"
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

func driveOf(d time.Duration) func(ref.Trail, ref.Trail) trail.Drive {
	return func(ref.Trail, ref.Trail) trail.Drive { return trail.Drive{Takes: d, Typed: true, Known: true} }
}

// Hike A meets at 06:45, and nine in ten parties are back by
// 12:20 (published 11:30). Hike B meets at 13:00, 75 min away by car.
func TestClashes(t *testing.T) {
	zone := time.FixedZone("UTC-7", -7*3600)
	at := func(day, h, m int) time.Time { return time.Date(2027, 3, day, h, m, 0, 0, zone) }
	duty := func(id ref.Hike, r team.Role, meet, finish time.Time) staffing.Duty {
		return staffing.Duty{Account: 1, Name: "Ash Moreno", Hike: id, Title: "hike " + string(rune('@'+id)), Role: r,
			Trail: ref.Trail(id), Meet: meet, Finish: finish, Basis: staffing.ByPlan, Debrief: 20 * time.Minute}
	}
	a := duty(1, team.Leader, at(14, 6, 45), at(14, 12, 20))
	b := duty(2, team.Leader, at(14, 13, 0), at(14, 17, 0))
	as := func(d staffing.Duty, r team.Role) staffing.Duty {
		d.Role = r
		return d
	}
	ending := func(d staffing.Duty, t time.Time) staffing.Duty {
		d.Finish = t
		return d
	}
	meeting := func(d staffing.Duty, t time.Time) staffing.Duty {
		d.Meet = t
		return d
	}
	night := duty(3, staffing.OnCallRole, at(13, 18, 0), at(13, 23, 30)) // held until 00:30
	tests := []struct {
		name  string
		a, b  staffing.Duty
		drive time.Duration
		free  string // empty for no clash
	}{
		{"case 6: boxes that do not touch clash", a, b, 75 * time.Minute, "13:55"},
		{"case 6: as sweep in B too", a, as(b, team.Sweep), 75 * time.Minute, "13:55"},
		{"case 6: also with the published finish", ending(a, at(14, 11, 30)), b, 75 * time.Minute, "13:05"},
		{"in whatever order they are given", b, a, 75 * time.Minute, "13:55"},
		{"there to the minute is no clash", ending(a, at(14, 11, 25)), b, 75 * time.Minute, ""},
		{"a minute later is", ending(a, at(14, 11, 26)), b, 75 * time.Minute, "13:01"},
		{"the debrief counts without a drive", ending(a, at(14, 12, 41)), b, 0, "13:01"},
		{"assistants are bound as well", as(a, team.Assistant), as(b, team.Assistant), 75 * time.Minute, "13:55"},
		{"on call while out on a hike", as(a, staffing.OnCallRole), meeting(b, at(14, 13, 0)), 0, "13:20"},
		{"on call is over in time", ending(as(a, staffing.OnCallRole), at(14, 12, 0)), b, 0, ""},
		{"on call from home needs no drive, but the hike must be over",
			a, as(b, staffing.OnCallRole), 75 * time.Minute, ""},
		{"out when on call begins", ending(a, at(14, 12, 41)), as(b, staffing.OnCallRole), 0, "13:01"},
		{"two on calls on one phone", as(a, staffing.OnCallRole), meeting(as(b, staffing.OnCallRole), at(14, 7, 0)), 0,
			""},
		{"a dawn lead after a night on call", night, duty(4, team.Leader, at(14, 6, 0), at(14, 10, 0)), 0, "08:30"},
		{"rested to the minute", night, duty(4, team.Leader, at(14, 8, 30), at(14, 12, 0)), 0, ""},
		{"a dawn sweep after a night on call is allowed", night, duty(4, team.Sweep, at(14, 6, 0), at(14, 10, 0)), 0,
			""},
		{"an evening on call that ends at ten", ending(night, at(13, 21, 0)),
			duty(4, team.Leader, at(14, 5, 0), at(14, 9, 0)), 0, ""},
		{"an evening on call that ends after ten", ending(night, at(13, 21, 15)),
			duty(4, team.Leader, at(14, 5, 0), at(14, 9, 0)), 0, "06:15"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, is := staffing.ClashOf(tt.a, tt.b, driveOf(tt.drive))
			if is != (tt.free != "") || is && c.Free.Format("15:04") != tt.free {
				t.Errorf("ClashOf = %v, free at %s, want %q\n%s", is, c.Free.Format("15:04"), tt.free, c.Why)
			}
			if is && !strings.Contains(c.Why, tt.free) {
				t.Errorf("the sum does not say %s: %s", tt.free, c.Why)
			}
		})
	}
}

func TestClashesArePersonal(t *testing.T) {
	at := time.Date(2027, 3, 14, 7, 0, 0, 0, time.UTC)
	d := func(account ref.Account, id ref.Hike) staffing.Duty {
		return staffing.Duty{Account: account, Hike: id, Role: team.Leader, Meet: at, Finish: at.Add(4 * time.Hour)}
	}
	if got := staffing.Clashes([]staffing.Duty{d(1, 1), d(2, 2), d(1, 1), d(1, 3)}, driveOf(0)); len(got) != 2 {
		t.Errorf("%d clashes, want 2: of person 1 on hikes 1 and 3, once for each duty", len(got))
	}
}

func TestDriveSaysWhereItIsFrom(t *testing.T) {
	here, there := unit.At(33.40, -112), unit.At(33.58, -112) // about 20 km
	roads := trail.Roads{
		Typed: map[trail.Pair]time.Duration{{From: 1, To: 2}: 75 * time.Minute},
		Ends: map[ref.Trail]trail.Ends{1: {Start: here, End: here}, 2: {Start: there, End: there},
			3: {Start: there, End: here}},
	}
	tests := []struct {
		name     string
		from, to ref.Trail
		want     time.Duration
		basis    string
	}{
		{"typed", 1, 2, 75 * time.Minute, "typed"},
		{"typed for the other direction", 2, 1, 75 * time.Minute, "typed"},
		// 19.97 km x 1.4 / 50 km/h = 33.5 min, rounded up: a golden value of our own rule.
		{"estimated", 1, 3, 34 * time.Minute, "estimated from the coordinates"},
		{"from where the walk ends", 3, 1, 0, "estimated from the coordinates"},
		{"not known", 1, 9, 0, "not known, counted as none"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := roads.Between(tt.from, tt.to)
			if d.Takes != tt.want || d.Basis() != tt.basis {
				t.Errorf("Between = %v, %s, want %v, %s", d.Takes, d.Basis(), tt.want, tt.basis)
			}
		})
	}
}

func TestFinishWithoutAPlanIsAGuess(t *testing.T) {
	h, tr := dawn(t, "2027-03-15")
	tr.Profile = track.Profile{Length: 10 * unit.Kilometre, Ascent: 300}
	finish, basis := staffing.FinishOf(h, tr, nil)
	// (10 x 15 + 3 x 10) min = 180 min, x 1.2 x 1.29 = 278.6 min.
	if want := h.Start.Add(279 * time.Minute); !finish.Equal(want) || basis != staffing.ByGuess {
		t.Errorf("FinishOf = %s, %s, want %s", finish, basis, want)
	}
}

func TestDutiesFindOnCallAmongThePeople(t *testing.T) {
	h, tr := dawn(t, "2027-03-15")
	known := []team.Qualification{{Account: 5, Name: "Rosa Lind", Email: "rosa@example.org", Phone: "928-555-0113"}}
	tests := []struct {
		name string
		c    team.Contact
		want int
	}{
		{"by address", team.Contact{Name: "R. Lind", Email: "rosa@example.org"}, 3},
		{"by number", team.Contact{Name: "R. Lind", Phone: "(928) 555 0113"}, 3},
		{"by name", team.Contact{Name: "Rosa Lind"}, 3},
		{"a stranger binds nobody", team.Contact{Name: "Wren Abara", Phone: "928-555-0199"}, 2},
		{"nobody", team.Contact{}, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			h.OnCall = tt.c
			if got := len(staffing.DutiesOf(h, tr, nil, known)); got != tt.want {
				t.Errorf("%d duties, want %d", got, tt.want)
			}
		})
	}
	h.State = hike.CalledOff
	if got := staffing.DutiesOf(h, tr, nil, known); got != nil {
		t.Errorf("a hike that is called off binds %v", got)
	}
}
