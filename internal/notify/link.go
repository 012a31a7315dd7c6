package notify

import (
	"context"
	"crypto/rand"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/signup"
)

// newLink draws a private link and stores its hash. Only the mail that it goes into ever
// holds the secret.
func (n *Notifier) newLink(ctx context.Context, to account.Target, expires time.Time) (account.Secret, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return secret, err
	}
	return secret, n.accounts.AddLink(ctx, account.Link{Hash: hash, Target: to, Expires: expires})
}

// newPlaceLink returns the address of a person's place behind a new link, good until the
// hike starts.
func (n *Notifier) newPlaceLink(ctx context.Context, h hike.Hike, p signup.SignUp) (string, error) {
	secret, err := n.newLink(ctx, account.PlaceTarget(p.ID), h.Start)
	return n.placeAddress(secret), err
}

func (n *Notifier) placeAddress(secret account.Secret) string { return n.baseURL + paths.Place(secret) }
