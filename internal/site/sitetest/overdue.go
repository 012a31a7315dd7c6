package sitetest

import (
	"context"
	"fmt"
	"saltbush/internal/party"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/signup"
)

// Overdue is a hike that should have been back so long ago: its staff and four walkers set
// out, were counted at the junction after 40 minutes, and the third walker came back after
// two hours. The first walker asked for something to be done for her; the last is a child.
func (l *Lookout) Overdue(ago time.Duration) hike.Hike {
	l.t.Helper()
	h := l.Post(1, time.Now().Add(-Latest-ago).Truncate(time.Minute))
	here := personsOf(h)
	for i := range 4 {
		p := overdueWalker(h, i)
		if _, err := l.DB.SignUp(context.Background(), p, p.Asked); err != nil {
			l.t.Fatal(err)
		}
		here = append(here, party.PersonID(p.ID))
	}
	l.Record(h, party.KindDeparted, h.Start, func(e *party.Event) {
		e.Persons, e.Number, e.Place = here, len(here), "trailhead"
	})
	l.Record(h, party.KindCounted, h.Start.Add(40*time.Minute), func(e *party.Event) {
		e.Number, e.Sweep, e.Place, e.Along = len(here), len(here), "Notch Junction", 900
	})
	l.Record(h, party.KindBack, h.Start.Add(2*time.Hour), func(e *party.Event) { e.Persons = here[6:7] })
	return h
}

func overdueWalker(h hike.Hike, i int) signup.SignUp {
	id := fmt.Sprintf("5a17b054-0000-4000-8000-00000000000%d", i)
	p := signup.SignUp{
		ID:             id,
		Hike:           h.ID,
		Name:           []string{"Amaya Reyes", "Bashir Noor", "Lotte Vandermeer", "Jun Takeda"}[i],
		Email:          "walker@example.org",
		Mobile:         fmt.Sprintf("602-555-013%d", i),
		EmergencyName:  "Somebody Home",
		EmergencyPhone: fmt.Sprintf("480-555-017%d", i),
		LongestWalk:    "9 km three weeks ago, no trouble",
		Water:          3.5,
		Minor:          i == 3,
		Guardian:       "Hana Takeda",
		GuardianPhone:  "480-555-0188",
		Acknowledged:   true,
		Asked:          h.Start.Add(-48 * time.Hour),
		Link:           []byte(id),
	}
	if i == 0 {
		p.Needs = "Speak to me from the left; I hear little on the right."
	}
	return p
}
