// Command saltbush serves the web app for leaders of public guided day hikes, and
// computes a plan from the command line.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"

	// Trailheads may be in any zone of the world, and a bare machine may lack the database.
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

// cli is the command line, with one field for each command. Each command has a file of its name.
type cli struct {
	Demo    demoCommand    `cmd:"" help:"Serve an invented reserve with a season of hikes, to try everything."`
	Serve   serveCommand   `cmd:"" help:"Serve an organisation's own trails and hikes."`
	Plan    planCommand    `cmd:"" help:"Compute a plan from a GPX track, without a database."`
	Migrate migrateCommand `cmd:"" help:"Bring a database to the newest schema, or show where it stands."`
	Backup  backupCommand  `cmd:"" help:"Write all that a database holds to one file, while the site serves or not."`
	Restore restoreCommand `cmd:"" help:"Fill an empty database from such a file."`
	LetIn   recoverCommand `cmd:"" help:"${cmd_let_in}"`
	Version versionCommand `cmd:"" help:"Say which build this is."`
}

// environment is what commands use from outside.
type environment struct {
	ctx    context.Context
	getenv func(string) string
	out    io.Writer
	err    io.Writer
}

// run is the program without the process, for tests.
func run(ctx context.Context, args []string, getenv func(string) string, out, errOut io.Writer) error {
	var c cli
	exited := false
	parser, err := kong.New(&c,
		kong.Name("saltbush"),
		kong.Description("Plans public guided day hikes in hot, dry country and watches them home."),
		kong.Writers(out, errOut),
		kong.Exit(func(int) { exited = true }),
		kong.UsageOnError(),
		longHelp(),
		kong.Bind(environment{ctx: ctx, getenv: getenv, out: out, err: errOut}),
	)
	if err != nil {
		return err
	}
	k, err := parser.Parse(args)
	if exited {
		return nil // after --help
	}
	if err != nil {
		return err
	}
	return k.Run()
}
