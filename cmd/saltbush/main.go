// Command saltbush serves the web app for leaders of public guided day hikes, and
// computes a plan from the command line.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"

	// Trailheads are in any zone of the world, and a bare machine may lack the list.
	_ "time/tzdata"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Getenv, os.Stdout, os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "saltbush:", err)
		os.Exit(1)
	}
}

// cli is the command line: one field a command, in the file of its name.
type cli struct {
	Demo    demoCommand    `cmd:"" help:"Serve an invented reserve with a season of hikes, to try everything."`
	Serve   serveCommand   `cmd:"" help:"Serve an organisation's own trails and hikes."`
	Plan    planCommand    `cmd:"" help:"Compute a plan from a GPX track, without a database."`
	Migrate migrateCommand `cmd:"" help:"Bring a database to the newest schema, or show where it stands."`
	Backup  backupCommand  `cmd:"" help:"Write all that a database holds to one file, while the site serves or not."`
	Restore restoreCommand `cmd:"" help:"Fill an empty database from such a file."`
	LetIn   recoverCommand `cmd:"" help:"Open an account again whose owner lost password, phone and codes, where no coordinator can."`
	Version versionCommand `cmd:"" help:"Say which build this is."`
}

// environment is what commands take from outside themselves.
type environment struct {
	ctx    context.Context
	getenv func(string) string
	out    io.Writer
	err    io.Writer
}

// errShown ends the program after its message has been written already.
var errShown = errors.New("see above")

// run is the program without the process: tests call it.
func run(ctx context.Context, args []string, getenv func(string) string, out, errOut io.Writer) error {
	var c cli
	exited := false
	parser, err := kong.New(&c,
		kong.Name("saltbush"),
		kong.Description("Plans public guided day hikes in hot, dry country and watches them home."),
		kong.Writers(out, errOut),
		kong.Exit(func(int) { exited = true }),
		kong.UsageOnError(),
		kong.Bind(environment{ctx: ctx, getenv: getenv, out: out, err: errOut}),
	)
	if err != nil {
		return err
	}
	k, err := parser.Parse(args)
	if exited {
		return nil // help was asked for and shown
	}
	if err != nil {
		return err
	}
	return k.Run()
}
