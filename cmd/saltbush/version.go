package main

import (
	"cmp"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
)

// versionCommand prints which build this is, for bug reports.
type versionCommand struct{}

// Run prints what the go command recorded in the program. A program built with go build in
// a clone has its revision; go run records none.
func (versionCommand) Run(e environment) error {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return errors.New("this program was built without build information")
	}
	_, err := fmt.Fprint(e.out, versionText(info))
	return err
}

func versionText(info *debug.BuildInfo) string {
	settings := map[string]string{}
	for _, s := range info.Settings {
		settings[s.Key] = s.Value
	}
	text := fmt.Sprintf("saltbush %s\n", cmp.Or(info.Main.Version, "(devel)"))
	text += "revision " + cmp.Or(settings["vcs.revision"], "unknown (go build in a clone records it, go run does not)")
	if at := settings["vcs.time"]; at != "" {
		text += ", " + at
	}
	if settings["vcs.modified"] == "true" {
		text += ", with changes that are not committed"
	}
	system := cmp.Or(settings["GOOS"], runtime.GOOS) + "/" + cmp.Or(settings["GOARCH"], runtime.GOARCH)
	return text + "\n" + info.GoVersion + " " + system + "\n"
}
