package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"fmt"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/postgres"
)

// recoverCommand opens an account again where no coordinator can sign in any more, for people with access to the
// machine.
type recoverCommand struct {
	Email         string `arg:"" help:"The address of the account."`
	BaseURL       string `env:"SALTBUSH_BASE_URL" placeholder:"URL" help:"The address that the link begins with."`
	whichDatabase `embed:""`
}

// Run removes the second step of the account and prints a link for a new password.
func (c recoverCommand) Run(e environment) error {
	email, err := account.CleanEmail(c.Email)
	if err != nil {
		return err
	}
	return c.withSource(e, func(dsn string) error {
		db, err := postgres.Open(e.ctx, dsn)
		if err != nil {
			return err
		}
		defer db.Close()
		secret, err := recoverAccount(e.ctx, db.AccountStore(), email, time.Now())
		if err != nil {
			return fmt.Errorf("%s: %w", email, err)
		}
		fmt.Fprintln(e.out, "Second step and passkeys are off. Choose a new password within two hours, once, at")
		base := cmp.Or(c.BaseURL, "http://127.0.0.1:8080")
		_, err = fmt.Fprintf(e.out, "  %s/new-password/%s\n", base, secret.Reveal())
		return err
	})
}

func recoverAccount(ctx context.Context, s account.Store, email string, now time.Time) (account.Secret, error) {
	a, err := s.AccountByEmail(ctx, email)
	if err != nil {
		return account.Secret{}, err
	}
	if err := takeOffSecond(ctx, s, a.ID); err != nil {
		return account.Secret{}, err
	}
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return secret, err
	}
	link := account.Link{
		Hash:    hash,
		Target:  account.NewPasswordTarget(a.ID),
		Expires: now.Add(account.NewPasswordFor),
	}
	return secret, s.AddLink(ctx, link)
}

func takeOffSecond(ctx context.Context, s account.Store, id account.ID) error {
	keys, err := s.Passkeys(ctx, id)
	if err != nil {
		return err
	}
	for _, k := range keys {
		if err := s.RemovePasskey(ctx, id, k.ID); err != nil {
			return err
		}
	}
	if err := s.ChangeTwoStep(ctx, id, func(t *account.TwoStep) { *t = account.TwoStep{} }); err != nil {
		return err
	}
	return s.SecondStepGone(ctx, id)
}
