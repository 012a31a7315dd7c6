package account_test

import (
	"context"
	"crypto/rand"
	"errors"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/account"
	"saltbush/internal/ref"
)

// Subjects as they are in databases and behind links in sent mails. None may change.
func TestParseTargetReadsStoredSubjects(t *testing.T) {
	tests := []struct {
		purpose account.Purpose
		subject string
		want    account.Target
	}{
		{"first coordinator", "", account.FirstCoordinatorTarget()},
		{"invitation", "7", account.InvitationTarget(7)},
		{"new password", "7", account.NewPasswordTarget(7)},
		{"place", "5f0c1e9e-9d3f-4d0a-8f6e-0d6a3f1b2c4d",
			account.PlaceTarget("5f0c1e9e-9d3f-4d0a-8f6e-0d6a3f1b2c4d")},
		{"contact", "41", account.ContactTarget("41")},
		{"day", "12", account.DayTarget(12)},
		{"day watch", "12", account.DayWatchTarget(12)},
		{"asked", "12 5f0c1e9e", account.AskedTarget(12, "5f0c1e9e")},
		{"asked", "12 on-call", account.AskedTarget(12, "on-call")},
		{"watch", "12 #7 Ann Bee", account.WatchTarget(12, 7, "Ann Bee")},
		{"watch", "12 #0 Ann Bee", account.WatchTarget(12, 0, "Ann Bee")},
		{"watch", "12 #0 #7 Bee", account.WatchTarget(12, 0, "#7 Bee")},
		// Written before watch links had an account.
		{"watch", "12 Ann Bee", account.WatchTarget(12, 0, "Ann Bee")},
		{"watch", "12 on-call", account.WatchTarget(12, 0, "on-call")},
		{"watch", "12 #one Bee", account.WatchTarget(12, 0, "#one Bee")},
	}
	for _, tt := range tests {
		t.Run(string(tt.purpose)+" "+tt.subject, func(t *testing.T) {
			got, err := account.ParseTarget(tt.purpose, tt.subject)
			if got != tt.want || err != nil {
				t.Errorf("ParseTarget = %+v, %v, want %+v", got, err, tt.want)
			}
		})
	}
}

func TestParseTargetRefuses(t *testing.T) {
	for _, tt := range []struct {
		purpose account.Purpose
		subject string
	}{
		{"", ""},
		{"calendar feed", "7"},
		{"first coordinator", "7"},
		{"invitation", ""},
		{"invitation", "0"},
		{"new password", "Ann"},
		{"place", ""},
		{"day", "12 Ann"},
		{"day watch", "-1"},
		{"watch", "Ann Bee"},
		{"watch", "#7 Ann Bee"},
		{"asked", "12"},
		{"asked", "on-call"},
	} {
		t.Run(string(tt.purpose)+" "+tt.subject, func(t *testing.T) {
			got, err := account.ParseTarget(tt.purpose, tt.subject)
			if !errors.Is(err, account.ErrLinkUnknown) || got != (account.Target{}) {
				t.Errorf("ParseTarget = %+v, %v, want ErrLinkUnknown", got, err)
			}
		})
	}
}

func TestParseTargetReadsWhatSubjectWrote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		id := rapid.Int64Range(1, 1<<62).Draw(t, "id")
		name := rapid.String().Draw(t, "name")
		word := rapid.StringN(1, -1, -1).Draw(t, "word")
		want := rapid.SampledFrom([]account.Target{
			account.FirstCoordinatorTarget(),
			account.InvitationTarget(account.ID(id)),
			account.NewPasswordTarget(account.ID(id)),
			account.PlaceTarget(word),
			account.ContactTarget(word),
			account.DayTarget(ref.Hike(id)),
			account.DayWatchTarget(ref.Hike(id)),
			account.WatchTarget(ref.Hike(id), account.ID(rapid.Int64Range(0, id).Draw(t, "of")), name),
			account.AskedTarget(ref.Hike(id), word),
		}).Draw(t, "target")
		got, err := account.ParseTarget(want.Purpose, want.Subject())
		if got != want || err != nil {
			t.Fatalf("ParseTarget(%q, %q) = %+v, %v, want %+v", want.Purpose, want.Subject(), got, err, want)
		}
	})
}

// oneLink finds one link and nothing else.
type oneLink account.Link

func (l oneLink) LinkByHash(_ context.Context, h account.Hash) (account.Link, error) {
	if h != l.Hash {
		return account.Link{}, account.ErrNotFound
	}
	return account.Link(l), nil
}

func TestOpenLink(t *testing.T) {
	secret, hash := mustLink(t, rand.Reader)
	other, _ := mustLink(t, rand.Reader)
	noon := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
	day := account.Link{Hash: hash, Target: account.DayTarget(7), Expires: noon}
	tests := []struct {
		name    string
		typed   string
		purpose account.Purpose
		now     time.Time
		want    error
	}{
		{"opens", secret.Reveal(), account.Day, noon.Add(-time.Second), nil},
		{"no secret", "Ann", account.Day, noon.Add(-time.Second), account.ErrLinkUnknown},
		{"another secret", other.Reveal(), account.Day, noon.Add(-time.Second), account.ErrNotFound},
		{"another purpose", secret.Reveal(), account.DayWatch, noon.Add(-time.Second), account.ErrLinkUnknown},
		{"expired", secret.Reveal(), account.Day, noon, account.ErrLinkExpired},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := account.OpenLink(t.Context(), oneLink(day), tt.typed, tt.purpose, tt.now)
			if !errors.Is(err, tt.want) || err == nil && got != day {
				t.Errorf("OpenLink = %+v, %v, want %v", got, err, tt.want)
			}
		})
	}
}
