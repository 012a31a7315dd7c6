// Command packphone builds the phone's program and packs it for the site: go generate ./assets runs
// it. Beside the program it keeps what it was made from, so that a test tells when it is stale.
package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"log"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/andybalholm/brotli"
)

// The files of the site that this command writes, from the root of the repository.
const (
	packedFile = "assets/phone.wasm.br"
	madeFile   = "assets/phone.json"
	glueFile   = "assets/vendor/wasm_exec.js"
)

// made says what the packed program was made from.
type made struct {
	Go      string `json:"go"`
	Sources string `json:"sources"` // SHA-256
	Bytes   int    `json:"bytes"`
	Packed  int    `json:"packed_bytes"`
}

func main() {
	log.SetFlags(0)
	if err := pack(filepath.Join("..")); err != nil {
		log.Fatal(err)
	}
}

// pack writes the files of the site below root.
func pack(root string) error {
	program, err := build(root)
	if err != nil {
		return err
	}
	packed, err := compress(program)
	if err != nil {
		return err
	}
	sources, err := sourcesOf(os.DirFS(root))
	if err != nil {
		return err
	}
	about, err := json.MarshalIndent(made{
		Go: runtime.Version(), Sources: sources, Bytes: len(program), Packed: len(packed),
	}, "", "\t")
	if err != nil {
		return err
	}
	glue, err := glueOf()
	if err != nil {
		return err
	}
	for name, content := range map[string][]byte{
		packedFile: packed, madeFile: append(about, '\n'), glueFile: glue,
	} {
		if err := os.WriteFile(filepath.Join(root, name), content, 0o644); err != nil {
			return err
		}
	}
	log.Printf("%s: %d bytes, %d packed", packedFile, len(program), len(packed))
	return nil
}

// build compiles the program the same way on every machine: without paths, symbols and inlining,
// which makes it a quarter smaller.
func build(root string) ([]byte, error) {
	dir, err := os.MkdirTemp("", "packphone")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "phone.wasm")
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-gcflags=all=-l",
		"-o", out, "./cmd/phone")
	c.Dir, c.Stderr = root, os.Stderr
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "GOEXPERIMENT=", "GOFLAGS=")
	if err := c.Run(); err != nil {
		return nil, fmt.Errorf("build the phone's program: %w", err)
	}
	return os.ReadFile(out)
}

func compress(program []byte) ([]byte, error) {
	var b bytes.Buffer
	w := brotli.NewWriterOptions(&b, brotli.WriterOptions{Quality: brotli.BestCompression, LGWin: 24})
	if _, err := w.Write(program); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// glueOf reads the script with which Go's programs run in a browser. It belongs to the version of
// Go that built the program.
func glueOf() ([]byte, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("ask for GOROOT: %w", err)
	}
	return os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
}

// sourcesOf hashes what the program is made from, besides the standard library.
func sourcesOf(root fs.FS) (string, error) {
	sum := sha256.New()
	for _, dir := range []string{"cmd/phone", "internal/party", "internal/phone", "internal/unit"} {
		entries, err := fs.ReadDir(root, dir)
		if err != nil {
			return "", err
		}
		for _, e := range entries {
			if path.Ext(e.Name()) != ".go" || strings.HasSuffix(e.Name(), "_test.go") {
				continue
			}
			if err := addSource(sum, root, path.Join(dir, e.Name())); err != nil {
				return "", err
			}
		}
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

func addSource(sum io.Writer, root fs.FS, name string) error {
	content, err := fs.ReadFile(root, name)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(sum, "%s %d\n%s", name, len(content), content)
	return err
}
