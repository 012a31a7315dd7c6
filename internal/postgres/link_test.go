package postgres_test

import (
	"context"
	"errors"
	"testing"

	"saltbush/internal/account"
)

func TestLinkTargetsAreStored(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	store := db.AccountStore()
	for i, target := range []account.Target{
		account.FirstCoordinatorTarget(),
		account.InvitationTarget(7),
		account.PlaceTarget("5f0c1e9e-9d3f-4d0a-8f6e-0d6a3f1b2c4d"),
		account.DayWatchTarget(12),
		account.WatchTarget(12, 7, "Ann Bee"),
		account.AskedTarget(12, "on-call"),
	} {
		t.Run(string(target.Purpose), func(t *testing.T) {
			older := account.Link{Hash: account.Hash{byte(i), 1}, Target: target}
			link := account.Link{Hash: account.Hash{byte(i), 2}, Target: target}
			if err := errors.Join(store.AddLink(ctx, older), store.AddLink(ctx, link)); err != nil {
				t.Fatal(err)
			}
			if got, err := store.LinkByHash(ctx, link.Hash); err != nil || got != link {
				t.Errorf("got %+v, %v, want %+v", got, err, link)
			}
			if _, err := store.LinkByHash(ctx, older.Hash); !errors.Is(err, account.ErrNotFound) {
				t.Errorf("the older link: %v, want ErrNotFound", err)
			}
		})
	}
}

// Alarms that were sent before links held an account still open.
func TestOldWatchLinkIsRead(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	db, _ := open(t)
	insert := func(hash account.Hash, subject string) {
		t.Helper()
		_, err := db.Pool().Exec(ctx, `INSERT INTO links (hash, purpose, subject, expires)
			VALUES ($1, 'watch', $2, 'infinity')`, hash, subject)
		if err != nil {
			t.Fatal(err)
		}
	}
	insert(account.Hash{1}, "12 Ann Bee")
	got, err := db.AccountStore().LinkByHash(ctx, account.Hash{1})
	if want := account.WatchTarget(12, 0, "Ann Bee"); err != nil || got.Target != want {
		t.Errorf("got %+v, %v, want %+v", got.Target, err, want)
	}
	insert(account.Hash{2}, "Ann Bee")
	if _, err := db.AccountStore().LinkByHash(ctx, account.Hash{2}); !errors.Is(err, account.ErrLinkUnknown) {
		t.Errorf("a damaged subject: %v, want ErrLinkUnknown", err)
	}
}
