package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/andybalholm/brotli"
)

const root = "../.."

// The program that the site serves is made from the sources as they stand.
func TestPackedProgramIsCurrent(t *testing.T) {
	var m made
	about, err := os.ReadFile(filepath.Join(root, madeFile))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(about, &m); err != nil {
		t.Fatal(err)
	}
	now, err := sourcesOf(os.DirFS(root))
	if err != nil {
		t.Fatal(err)
	}
	if now != m.Sources {
		t.Errorf("sources are %s, %s was made from %s: run go generate ./assets", now, packedFile, m.Sources)
	}
	packed, err := os.ReadFile(filepath.Join(root, packedFile))
	if err != nil {
		t.Fatal(err)
	}
	if len(packed) != m.Packed || len(packed) > 1<<20 {
		t.Errorf("%d bytes packed, want %d and at most 1 MiB", len(packed), m.Packed)
	}
	program, err := io.ReadAll(brotli.NewReader(bytes.NewReader(packed)))
	if err != nil || len(program) != m.Bytes || !bytes.HasPrefix(program, []byte("\x00asm")) {
		t.Errorf("unpacks to %d bytes (%v), want a WebAssembly program of %d", len(program), err, m.Bytes)
	}
}

func TestSourcesChangeWithAnyLine(t *testing.T) {
	tree := func(line string) fstest.MapFS {
		return fstest.MapFS{
			"cmd/phone/main.go": {Data: []byte("package main")}, "internal/party/fold.go": {Data: []byte(line)},
			"internal/phone/look.go":      {Data: []byte("package phone")},
			"internal/unit/unit.go":       {Data: []byte("package unit")},
			"internal/party/fold_test.go": {Data: []byte(line)},
		}
	}
	sum := func(f fstest.MapFS) string {
		s, err := sourcesOf(f)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	before := sum(tree("package party"))
	if sum(tree("package party // changed")) == before {
		t.Error("a changed source gives the same hash")
	}
	test := tree("package party")
	test["internal/party/fold_test.go"].Data = []byte("package party_test")
	if sum(test) != before {
		t.Error("a changed test gives another hash")
	}
}
