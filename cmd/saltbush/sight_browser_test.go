package main

import (
	"testing"
	"time"

	"saltbush/internal/account"
)

// What is left out of a page is said on it, in words that tell when it opens and to whom.
func TestPagesSayWhatTheyLeaveOut(t *testing.T) {
	for _, size := range screens() {
		t.Run(size.name, func(t *testing.T) {
			l := newLookout(t)
			start := time.Now().Add(9 * 24 * time.Hour).Truncate(time.Minute)
			clock := &settable{now: start.Add(-96 * time.Hour)}
			h := l.post(1, start)
			l.plant(t, h)
			l.account("Ines Calder", "elsewhere@example.org", "", account.Leader)
			for _, mail := range []string{"leader1@example.org", "leader2@example.org", "elsewhere@example.org"} {
				l.letIn(mail)
			}
			p := l.site(clock.get)

			leader := browser(t, p.base, size)
			leader.enters("leader1@example.org")
			leader.open("/hikes/1/manage#sign-ups")
			leader.sees("Numbers, addresses and whom to ring in need open on the day of the hike, from")
			leader.open("/hikes/1/screening")
			leader.sees("Ring 602-555-7703")
			leader.open("/hikes/1/land-manager")
			leader.sees("Nobody is named")
			leader.sees("Party: 6")

			sweep := browser(t, p.base, size)
			sweep.enters("leader2@example.org")
			sweep.open("/hikes/1/manage#sign-ups")
			sweep.sees("Sweep and assistants read the names on the day of the hike, from")
			sweep.open("/hikes/1/roll")
			sweep.sees("The roll opens to you on the day of the hike, from")

			l.leave(h)
			clock.set(start.Add(190 * time.Minute))
			other := browser(t, p.base, size)
			other.enters("elsewhere@example.org")
			other.open("/hikes/1/watch")
			other.sees("Their numbers open to whoever takes the alarm.")
			other.open("/hikes/1/hand-over")
			other.sees("What is to be done for each of them opens to whoever takes the alarm.")
		})
	}
}
