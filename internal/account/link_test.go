package account_test

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"saltbush/internal/account"
)

func mustLink(t *testing.T, random io.Reader) (account.Secret, account.Hash) {
	t.Helper()
	s, h, err := account.NewLink(random)
	if err != nil {
		t.Fatalf("NewLink: %v", err)
	}
	return s, h
}

func TestNewLink(t *testing.T) {
	t.Run("holds 160 bits as 32 letters", func(t *testing.T) {
		s, h := mustLink(t, rand.Reader)
		if len(s.Reveal()) != 32 || strings.Trim(s.Reveal(), "abcdefghijklmnopqrstuvwxyz234567") != "" {
			t.Errorf("secret is %q", s.Reveal())
		}
		if !h.Matches(s) {
			t.Error("the hash does not match its own secret")
		}
	})
	t.Run("every byte drawn matters", func(t *testing.T) {
		seen := map[account.Hash]bool{}
		for i := range 20 {
			raw := make([]byte, 20)
			raw[i] = 1
			_, h := mustLink(t, bytes.NewReader(raw))
			seen[h] = true
		}
		if len(seen) != 20 {
			t.Errorf("%d hashes of 20 secrets that differ in one byte", len(seen))
		}
	})
	t.Run("too little randomness is an error", func(t *testing.T) {
		if _, _, err := account.NewLink(bytes.NewReader(make([]byte, 19))); !errors.Is(err, io.ErrUnexpectedEOF) {
			t.Errorf("NewLink from 19 bytes: %v", err)
		}
	})
}

func TestParseSecretReadsWhatNewLinkWrote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := rapid.SliceOfN(rapid.Byte(), 20, 20).Draw(t, "raw")
		s, h, err := account.NewLink(bytes.NewReader(raw))
		if err != nil {
			t.Fatal(err)
		}
		at := rapid.IntRange(0, 32).Draw(t, "at")
		typed := strings.ToUpper(s.Reveal()[:at]) + rapid.SampledFrom([]string{"", " ", "-"}).Draw(t, "gap") +
			s.Reveal()[at:]
		got, err := account.ParseSecret(typed)
		if err != nil || !h.Matches(got) {
			t.Fatalf("ParseSecret(%q) = %q, %v", typed, got.Reveal(), err)
		}
	})
}

func TestParseSecretRefuses(t *testing.T) {
	good := strings.Repeat("a", 32)
	for name, s := range map[string]string{
		"nothing": "", "31 letters": good[1:], "33 letters": good + "a", "40 letters": good + "aaaaaaaa",
		"a digit that is no letter": "1" + good[1:], "a path": "../" + good[3:], "padding": good[:31] + "=",
	} {
		t.Run(name, func(t *testing.T) {
			if got, err := account.ParseSecret(s); !errors.Is(err, account.ErrLinkUnknown) {
				t.Errorf("ParseSecret(%q) = %q, %v", s, got.Reveal(), err)
			}
		})
	}
}

func TestSecretHidesItself(t *testing.T) {
	s, _ := mustLink(t, rand.Reader)
	var log bytes.Buffer
	slog.New(slog.NewJSONHandler(&log, nil)).Info("x", "secret", s)
	shown := log.String() + fmt.Sprintf("%v %s %q %#v %+v", s, s, s, s, struct{ S account.Secret }{s})
	if strings.Contains(shown, s.Reveal()) {
		t.Errorf("the secret %q is in %s", s.Reveal(), shown)
	}
}

func TestHashFromBytes(t *testing.T) {
	_, h := mustLink(t, rand.Reader)
	if got, err := account.HashFromBytes(h[:]); err != nil || got != h {
		t.Errorf("HashFromBytes = %v, %v", got, err)
	}
	if _, err := account.HashFromBytes(h[1:]); err == nil {
		t.Error("31 bytes are taken for a hash")
	}
}

func TestLinkOpen(t *testing.T) {
	secret, hash := mustLink(t, rand.Reader)
	other, _ := mustLink(t, rand.Reader)
	noon := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
	first := account.Link{Hash: hash, Target: account.FirstCoordinatorTarget(), Expires: noon}
	place := account.Link{Hash: hash, Target: account.PlaceTarget("41")}
	used := first
	used.Used = noon.Add(-time.Hour)
	visited := place
	visited.Used = noon.Add(-time.Hour)
	tests := []struct {
		name    string
		link    account.Link
		secret  account.Secret
		purpose account.Purpose
		now     time.Time
		want    error
	}{
		{"opens until it expires", first, secret, account.FirstCoordinator, noon.Add(-time.Nanosecond), nil},
		{"expired at the instant", first, secret, account.FirstCoordinator, noon, account.ErrLinkExpired},
		{"expired after", first, secret, account.FirstCoordinator, noon.Add(time.Hour), account.ErrLinkExpired},
		{"used once", used, secret, account.FirstCoordinator, noon.Add(-time.Minute), account.ErrLinkUsed},
		{"used, then expired", used, secret, account.FirstCoordinator, noon.Add(time.Hour),
			account.ErrLinkUsed},
		{"a place opens again and again", visited, secret, account.Place, noon, nil},
		{"without an end it stays open", place, secret, account.Place, noon.AddDate(50, 0, 0), nil},
		{"another secret is unknown", place, other, account.Place, noon, account.ErrLinkUnknown},
		{"no secret is unknown", place, account.Secret{}, account.Place, noon, account.ErrLinkUnknown},
		{"another purpose is unknown", place, secret, account.NewPassword, noon, account.ErrLinkUnknown},
		{"no link is unknown", account.Link{}, account.Secret{}, "", noon, account.ErrLinkUnknown},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := tt.link.Open(tt.secret, tt.purpose, tt.now); !errors.Is(err, tt.want) {
				t.Errorf("Open = %v, want %v", err, tt.want)
			}
		})
	}
}
