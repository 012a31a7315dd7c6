package postgres

import (
	"context"
	"strconv"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
)

// BringPeople makes the accounts of several people, with what is on record about each and
// the link that each is invited by, or nothing at all. The second and third list belong to
// the first one by one. Somebody whose address is another's is account.ErrEmailTaken.
func (db *DB) BringPeople(ctx context.Context, people []account.Account, records []hike.Qualification, links []account.Link) error {
	err := pgx.BeginFunc(ctx, db.pool, func(tx pgx.Tx) error {
		for i, a := range people {
			made, err := insertAccount(ctx, tx, a)
			if err != nil {
				return err
			}
			l := links[i]
			l.Subject = strconv.FormatInt(int64(made.ID), 10)
			if _, err := tx.Exec(ctx, `INSERT INTO links (hash, purpose, subject, expires) VALUES ($1, $2, $3, $4)`, l.Hash[:], l.Purpose, l.Subject, l.Expires); err != nil {
				return err
			}
			if err := insertRecord(ctx, tx, int64(made.ID), records[i]); err != nil {
				return err
			}
		}
		return nil
	})
	return accountFault(err, "bring people")
}

// insertRecord stores what is on record about a new account.
func insertRecord(ctx context.Context, tx pgx.Tx, of int64, q hike.Qualification) error {
	for _, s := range q.Standings {
		if err := insertStanding(ctx, tx, of, s); err != nil {
			return err
		}
	}
	for _, c := range q.Certificates {
		c.Account = of
		if err := insertCertificate(ctx, tx, c); err != nil {
			return err
		}
	}
	return nil
}
