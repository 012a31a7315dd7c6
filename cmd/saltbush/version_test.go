package main

import (
	"runtime/debug"
	"strings"
	"testing"
)

func TestVersionText(t *testing.T) {
	built := func(version string, settings ...debug.BuildSetting) *debug.BuildInfo {
		system := []debug.BuildSetting{{Key: "GOOS", Value: "linux"}, {Key: "GOARCH", Value: "arm64"}}
		main := debug.Module{Path: "saltbush", Version: version}
		return &debug.BuildInfo{GoVersion: "go1.26.0", Main: main, Settings: append(system, settings...)}
	}
	for _, tt := range []struct {
		name string
		info *debug.BuildInfo
		want string
	}{
		{"a release", built("v1.2.0", debug.BuildSetting{Key: "vcs.revision", Value: "4a66dc0"},
			debug.BuildSetting{Key: "vcs.time", Value: "2026-11-30T12:00:00Z"}),
			"saltbush v1.2.0\nrevision 4a66dc0, 2026-11-30T12:00:00Z\ngo1.26.0 linux/arm64\n"},
		{"changed files", built("(devel)", debug.BuildSetting{Key: "vcs.revision", Value: "4a66dc0"},
			debug.BuildSetting{Key: "vcs.modified", Value: "true"}),
			"saltbush (devel)\nrevision 4a66dc0, with changes that are not committed\ngo1.26.0 linux/arm64\n"},
		{"no repository", built(""), "saltbush (devel)\nrevision unknown (go build in a clone records it, go run does not)\ngo1.26.0 linux/arm64\n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := versionText(tt.info); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

func TestVersionCommand(t *testing.T) {
	out, err := command(t, "version")
	if err != nil || !strings.HasPrefix(out, "saltbush ") || !strings.Contains(out, "\ngo1.") {
		t.Errorf("got %q, %v", out, err)
	}
}
