package sitetest

import (
	"context"
	"crypto/rand"
	"testing"
	"time"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/postgres"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/unit"
)

// Walker is a sign-up that asks for a place on hike 1 and has nothing to talk over. A test
// changes what it is about before AddSignUp.
func Walker(name, email string) signup.SignUp {
	return signup.SignUp{
		ID:             uuid.NewString(),
		Hike:           1,
		Name:           name,
		Email:          email,
		Mobile:         "555 0101 444",
		EmergencyName:  "Teo Reyes",
		EmergencyPhone: "555 0101 555",
		LongestWalk:    "12 km, four hours, fine",
		Water:          3 * unit.Litre,
		Acknowledged:   true,
		Asked:          time.Now(),
	}
}

// AddSignUp stores a sign-up as of the time when it was asked, and returns it with the path
// of its private page.
func AddSignUp(t testing.TB, db *postgres.DB, s signup.SignUp) (stored signup.SignUp, place string) {
	t.Helper()
	secret, hash := NewLink(t)
	s.Link = hash[:]
	stored, err := db.SignUp(context.Background(), s, s.Asked)
	if err != nil {
		t.Fatal(err)
	}
	return stored, "/place/" + secret.Reveal()
}

// NewLink draws the secret of a private link.
func NewLink(t testing.TB) (account.Secret, account.Hash) {
	t.Helper()
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return secret, hash
}

// Mistype returns a private link with another last letter.
func Mistype(link string) string {
	last := byte('a')
	if link[len(link)-1] == last {
		last = 'b'
	}
	return link[:len(link)-1] + string(last)
}

// ChangeHike changes a stored hike.
func ChangeHike(t testing.TB, db *postgres.DB, id ref.Hike, change func(*hike.Hike)) {
	t.Helper()
	err := db.ChangeHike(context.Background(), id, func(h *hike.Hike) error {
		change(h)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
