package card_test

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"saltbush/internal/card"
	"saltbush/internal/fault"
)

var mine = card.Of{Hike: 7, Person: "5a17b054-0000-4000-8000-000000000001"}

func ring(t interface{ Fatal(...any) }, k card.Key) card.Keyring {
	r, err := card.NewKeyring(k)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSealedCardOpens(t *testing.T) {
	r := ring(t, card.NewKey())
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.StringN(0, 300, -1)
		c := card.Card{Action: words.Draw(t, "action"),
			Details: card.Details{Conditions: words.Draw(t, "conditions"), Born: words.Draw(t, "born")}}
		c.Action = strings.TrimRight(c.Action, " ")
		s, err := r.Seal(mine, c)
		if err != nil {
			t.Fatal(err)
		}
		got, err := r.Open(mine, s)
		if err != nil || !cmp.Equal(got, c) {
			t.Fatalf("opened %+v, %v; sealed %+v", got, err, c)
		}
		if line, err := r.Action(mine, s); err != nil || line != c.Action {
			t.Fatalf("the action line is %q, %v; want %q", line, err, c.Action)
		}
	})
}

func TestSealedCardIsUnreadable(t *testing.T) {
	r := ring(t, card.NewKey())
	c := card.Card{Action: "Give sugar, then call.", Details: card.Details{Conditions: "quartz-lantern disease"}}
	a, err1 := r.Seal(mine, c)
	b, err2 := r.Seal(mine, c)
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	all := bytes.Join([][]byte{a.Key, a.Action, a.Body, a.KeyID}, nil)
	for _, word := range []string{"sugar", "quartz", "conditions", mine.Person} {
		if bytes.Contains(all, []byte(word)) {
			t.Errorf("the sealed card contains %q", word)
		}
	}
	if bytes.Equal(a.Body, b.Body) || bytes.Equal(a.Key, b.Key) || bytes.Equal(a.Action, b.Action) {
		t.Error("the same card sealed twice looks the same")
	}
	blank, err := r.Seal(mine, card.Card{Action: "x"})
	if err != nil || len(blank.Action) != len(a.Action) {
		t.Errorf("a short line seals to %d bytes, a longer one to %d, %v: the length reveals the text",
			len(blank.Action), len(a.Action), err)
	}
}

func TestSealedCardIsBoundToItsPlace(t *testing.T) {
	key := card.NewKey()
	r := ring(t, key)
	s, err := r.Seal(mine, card.Card{Action: "Give sugar.", Details: card.Details{Conditions: "something"}})
	if err != nil {
		t.Fatal(err)
	}
	flip := func(b []byte, at int) []byte {
		c := bytes.Clone(b)
		c[(at+len(c))%len(c)] ^= 1
		return c
	}
	swapped := s
	swapped.Action, swapped.Body = s.Body, s.Action
	for _, tt := range []struct {
		name string
		ring card.Keyring
		of   card.Of
		s    card.Sealed
		want error
	}{
		{"of another person", r, card.Of{Hike: 7, Person: "5a17b054-0000-4000-8000-000000000002"}, s, card.ErrDamaged},
		{"of another hike", r, card.Of{Hike: 8, Person: mine.Person}, s, card.ErrDamaged},
		{"with another key", ring(t, card.NewKey()), mine, s, card.ErrOtherKey},
		{"without a key", card.Keyring{}, mine, s, card.ErrOtherKey},
		{"with its parts exchanged", r, mine, swapped, card.ErrDamaged},
		{"with one bit of the action line changed", r, mine,
			card.Sealed{KeyID: s.KeyID, Key: s.Key, Action: flip(s.Action, 20), Body: s.Body}, card.ErrDamaged},
		{"with one bit of the body changed", r, mine,
			card.Sealed{KeyID: s.KeyID, Key: s.Key, Action: s.Action, Body: flip(s.Body, -1)}, card.ErrDamaged},
		{"with one bit of its key changed", r, mine,
			card.Sealed{KeyID: s.KeyID, Key: flip(s.Key, 15), Action: s.Action, Body: s.Body}, card.ErrDamaged},
		{"cut", r, mine, card.Sealed{KeyID: s.KeyID, Key: s.Key, Action: s.Action, Body: s.Body[:5]}, card.ErrDamaged},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if c, err := tt.ring.Open(tt.of, tt.s); !errors.Is(err, tt.want) || !c.Blank() {
				t.Errorf("opened %+v, %v; want %v", c, err, tt.want)
			}
		})
	}
}

func TestSealingWithoutAKeyIsRefused(t *testing.T) {
	var r card.Keyring
	var refusal fault.Refusal
	if _, err := r.Seal(mine, card.Card{Action: "x"}); !errors.As(err, &refusal) {
		t.Errorf("got %v, want a refusal", err)
	}
	if _, err := r.SealReason(card.Opening{}); !errors.As(err, &refusal) {
		t.Errorf("reason: got %v, want a refusal", err)
	}
}

func TestReasonIsBoundToItsOpening(t *testing.T) {
	r := ring(t, card.NewKey())
	o := card.Opening{ID: "a", Of: mine, Reason: "fell, is confused, what does she take?"}
	sealed, err := r.SealReason(o)
	if err != nil || bytes.Contains(sealed, []byte("confused")) {
		t.Fatalf("sealed %q, %v", sealed, err)
	}
	if got, err := r.OpenReason(o, sealed); err != nil || got != o.Reason {
		t.Errorf("reason %q, %v", got, err)
	}
	o.ID = "b"
	if _, err := r.OpenReason(o, sealed); !errors.Is(err, card.ErrDamaged) {
		t.Errorf("another opening reads it: %v", err)
	}
}

func TestParseKey(t *testing.T) {
	k := card.NewKey()
	for _, tt := range []struct {
		name, text string
		ok         bool
	}{
		{"from Reveal", k.Reveal(), true},
		{"with a line break", k.Reveal() + "\n", true},
		{"empty", "", false},
		{"short", base64.StdEncoding.EncodeToString(make([]byte, 31)), false},
		{"long", base64.StdEncoding.EncodeToString(make([]byte, 33)), false},
		{"not base64", strings.Repeat("?", 44), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, err := card.ParseKey(tt.text)
			if (err == nil) != tt.ok || tt.ok && got != k {
				t.Errorf("%v", err)
			}
			if err != nil && tt.text != "" && strings.Contains(err.Error(), tt.text) {
				t.Errorf("the error reveals the key: %v", err)
			}
		})
	}
}

func TestKeyIsHidden(t *testing.T) {
	k := card.NewKey()
	for _, verb := range []string{"%v", "%+v", "%#v", "%s"} {
		if text := fmt.Sprintf(verb, k); text != "key of the medical cards" {
			t.Errorf("%s prints %q", verb, text)
		}
	}
}
