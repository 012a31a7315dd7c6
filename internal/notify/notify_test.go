package notify_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"saltbush/internal/message"
	"saltbush/internal/notify"
)

func TestNewNamesWhatIsMissing(t *testing.T) {
	c := newFake().config()
	c.Rides, c.Log = nil, nil
	_, err := notify.New(c)
	if err == nil || !strings.Contains(err.Error(), "rides, log") {
		t.Errorf("got %v, want an error that names rides and log", err)
	}
	_, err = notify.New(notify.Config{})
	for _, part := range []string{
		"store", "accounts", "staff", "rides", "rolls", "outbox", "choices", "calendar", "clock", "log",
	} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("got %v, want an error that names %s", err, part)
		}
	}
}

func TestSendLogsWhatCannotBeComposed(t *testing.T) {
	f := newFake()
	n := f.notifier(t)
	n.Send(t.Context(), message.Mail{Key: "bad/1"}, errors.New("no address"))
	n.Send(t.Context(), message.Mail{Key: "good/1", To: "a@example.org"}, nil)
	if got := f.to(); !slices.Equal(got, []string{"a@example.org"}) {
		t.Errorf("queued to %v, want the good mail alone", got)
	}
	if !strings.Contains(f.log.String(), "bad/1") || !strings.Contains(f.log.String(), "no address") {
		t.Errorf("logged %q, want the key and the reason", f.log.String())
	}
}

func TestMailIsSignedByTheHouse(t *testing.T) {
	for name, want := range map[string]string{"Cinder Hills Walkers": "Cinder Hills Walkers", "": "Saltbush"} {
		f := newFake()
		f.house.Organisation = name
		if got := f.notifier(t).Letter(t.Context(), f.hike, f.places[0], "").Group; got != want {
			t.Errorf("a house named %q signs as %q, want %q", name, got, want)
		}
	}
}
