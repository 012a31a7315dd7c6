package main

import (
	"errors"
	"fmt"

	"saltbush/internal/postgres"
)

// migrateCommand manages the schema of a database that the organization runs itself.
type migrateCommand struct {
	DatabaseURL string `env:"DATABASE_URL" required:"" help:"The database, as postgres://user@host/name."`
	Status      bool   `help:"Only show which step the database is at."`
	Down        bool   `help:"Take every step back. ALL DATA IS LOST; needs --yes-lose-everything."`
	Sure        bool   `name:"yes-lose-everything" help:"Goes with --down."`
}

// Run migrates the database up, unless the flags say otherwise.
func (c migrateCommand) Run(e environment) error {
	switch {
	case c.Status:
		return c.show(e)
	case c.Down && !c.Sure:
		return errors.New("--down deletes everything in the database: add --yes-lose-everything to mean it")
	case c.Down:
		return postgres.MigrateDown(e.ctx, c.DatabaseURL)
	}
	if err := postgres.Migrate(e.ctx, c.DatabaseURL); err != nil {
		return err
	}
	return c.show(e)
}

func (c migrateCommand) show(e environment) error {
	applied, newest, err := postgres.SchemaVersion(e.ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(e.out, "schema at step %d of %d\n", applied, newest)
	return err
}
