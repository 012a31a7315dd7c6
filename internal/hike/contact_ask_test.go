package hike_test

import (
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/signup"
)

func TestContactsAreAskedThreeDaysBefore(t *testing.T) {
	meet := time.Date(2026, 5, 10, 12, 0, 0, 0, time.UTC)
	for _, tc := range []struct {
		name  string
		state hike.State
		now   time.Time
		want  bool
	}{
		{"three days before to the minute", hike.Posted, meet.Add(-72 * time.Hour), false},
		{"a minute later", hike.Posted, meet.Add(-72*time.Hour + time.Minute), true},
		{"called off", hike.CalledOff, meet.Add(-time.Hour), false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := (hike.Hike{State: tc.state, Meet: meet}).AsksContacts(tc.now); got != tc.want {
				t.Errorf("asked %t, want %t", got, tc.want)
			}
		})
	}
}

func TestContactIsAskedOnce(t *testing.T) {
	fresh := signup.SignUp{State: signup.Confirmed, ContactEmail: "home@example.org"}
	asked, answered, silent, waits := fresh, fresh, fresh, fresh
	asked.ContactAsked = time.Unix(1, 0)
	answered.ContactConfirmed = time.Unix(1, 0)
	silent.ContactEmail, waits.State = "", signup.Waiting
	if !fresh.ContactUnasked() {
		t.Error("a contact with an address is to be asked")
	}
	for name, s := range map[string]signup.SignUp{"asked": asked, "answered": answered, "no address": silent,
		"no place yet": waits} {
		if s.ContactUnasked() {
			t.Errorf("%s: asked again", name)
		}
	}
}
