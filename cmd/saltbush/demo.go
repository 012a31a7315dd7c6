package main

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"saltbush/internal/localpg"
	"saltbush/internal/message"
	"saltbush/internal/sample"
	"saltbush/internal/site"
	"saltbush/web/accounts"
)

// demoCommand serves the invented reserve.
type demoCommand struct {
	siteFlags `embed:""`
	Fresh     bool `help:"Throw away what an earlier demo stored and lay the season out around now."`
}

// Run loads the scenario once, into an empty database, and serves it.
func (c demoCommand) Run(e environment) error {
	c.Data = cmp.Or(c.Data, filepath.Join(localpg.DefaultDir(e.getenv), "demo"))
	prepared := sync.OnceValues(func() (*sample.Scenario, error) { return sample.Prepare(e.ctx, time.Now()) })
	if c.starts() {
		go prepared() // while the database is being made
	}
	var signIns []sample.SignIn
	return serving{
		database: site.DatabaseOptions{Data: c.Data, Volatile: true, Fresh: c.Fresh, Programs: e.programs()},
		key:      c.keySource(),
		options: func(ctx context.Context, db *site.Database) (o site.Options, err error) {
			if signIns, err = sample.Load(ctx, c.stores(db), prepared); err != nil {
				return o, fmt.Errorf("load the demo: %w", err)
			}
			o = site.Options{Listen: c.Listen, Demo: true, Samples: samples(signIns), Mail: message.Discard{},
				Log: e.logger()}
			return o, nil
		},
		greet: func(_ context.Context, s *site.Site) error {
			c.greet(e, s.Address(), signIns)
			return nil
		},
	}.run(e)
}

// stores returns the stores that the season is loaded into.
func (c demoCommand) stores(db *site.Database) sample.Stores {
	return sample.Stores{
		Hikes:    db,
		Rolls:    db,
		Accounts: db.AccountStore(),
		Staff:    db,
		Tell:     db,
		Ground:   db,
		Outbox:   db.Outbox(),
		Cards:    db,
		Rides:    db,
		BaseURL:  "http://" + c.Listen,
	}
}

// starts reports whether a new season has to be made, judging by the folder.
func (c demoCommand) starts() bool {
	_, err := os.Stat(site.ClusterFolder(c.Data))
	return err != nil || c.Fresh
}

func (c demoCommand) greet(e environment, address string, signIns []sample.SignIn) {
	fmt.Fprintf(e.out, "Saltbush demo, all invented, data in %s\n\n", c.Data)
	fmt.Fprintf(e.out, "  %-34s the public calendar\n", address+"/")
	fmt.Fprintf(e.out, "  %-34s who is out now\n\n", address+"/board")
	for _, s := range signIns {
		fmt.Fprintf(e.out, "  %-12s %-34s password %s\n", s.As, s.Email, s.Password)
	}
	fmt.Fprintln(e.out, "\nStop with Ctrl-C. What you do is kept; --fresh lays the season out around now again.")
}

func samples(signIns []sample.SignIn) []accounts.Sample {
	out := make([]accounts.Sample, len(signIns))
	for i, s := range signIns {
		out[i] = accounts.Sample(s)
	}
	return out
}
