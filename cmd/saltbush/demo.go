package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"saltbush/internal/localpg"
	"saltbush/internal/message"
	"saltbush/internal/sample"
	"saltbush/web"
	"saltbush/web/accounts"
)

// demoCommand serves the invented reserve.
type demoCommand struct {
	siteFlags `embed:""`
	Fresh     bool `help:"Throw away what an earlier demo stored and lay the season out around now."`
}

// Run loads the scenario into an empty database once, and serves it.
func (c demoCommand) Run(e environment) error {
	if c.Data == "" {
		c.Data = filepath.Join(localpg.DefaultDir(e.getenv), "demo")
	}
	prepared := sync.OnceValues(func() (*sample.Scenario, error) { return sample.Prepare(e.ctx, time.Now()) })
	if c.starts() {
		go prepared() // while the database is being made
	}
	db, err := openDatabase(e, "", c.Data, true, c.Fresh)
	if err != nil {
		return err
	}
	if err := c.keySource(e).take(e, db); err != nil {
		return errors.Join(err, db.close())
	}
	signIns, err := sample.LoadPrepared(e.ctx, sample.Stores{Hikes: db, Rolls: db, Accounts: db.AccountStore(), Staff: db, Tell: db, Ground: db, Outbox: db.Outbox(), Cards: db, Rides: db, BaseURL: "http://" + c.Listen}, prepared)
	if err != nil {
		return errors.Join(fmt.Errorf("load the demo: %w", err), db.close())
	}
	s, err := newSite(e, c.siteFlags, db, web.Config{Demo: true, Samples: samples(signIns)}, &message.Capture{})
	if err != nil {
		return errors.Join(err, db.close())
	}
	c.greet(e, s.address(), signIns)
	return errors.Join(s.run(e.ctx), db.close())
}

// starts reports whether the season is to be laid out anew, as far as the folder tells.
func (c demoCommand) starts() bool {
	_, err := os.Stat(filepath.Join(c.Data, "postgres"))
	return err != nil || c.Fresh
}

func (c demoCommand) greet(e environment, address string, signIns []sample.SignIn) {
	fmt.Fprintf(e.out, "Saltbush demo, all invented, data in %s\n\n", c.Data)
	fmt.Fprintf(e.out, "  %-34s the public calendar\n", address+"/")
	fmt.Fprintf(e.out, "  %-34s who is out now\n", address+"/board")
	fmt.Fprintf(e.out, "  %-34s every page and state, from fixed data\n\n", address+"/_pages")
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
