// Package assets holds what a browser fetches beside the pages: the style sheet, the few
// scripts and icons.
//
// Every file is embedded and served under a URL that carries a hash of its content, so
// that it may be kept for ever and a changed file is a new URL.
package assets

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"
)

//go:generate go run ../cmd/packphone

//go:embed *
var files embed.FS

// Prefix is the path under which Handler serves.
const Prefix = "/assets/"

// served lists the kinds of file that leave the program; notes and Go files do not. A file that ends
// in packed is served under its name without that.
var served = []string{".css", ".js", ".svg", ".png", ".ico", ".webmanifest", packed}

// asset is one file with both of its names. plain unpacks a file that is kept packed; it is nil for
// the others.
type asset struct {
	name, url string
	body      []byte
	plain     func() ([]byte, error)
}

var byName, byURL = index()

// index reads every served file once. The files are part of the program, so one that
// cannot be read is a broken build.
func index() (byName, byURL map[string]asset) {
	byName, byURL = map[string]asset{}, map[string]asset{}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !slices.Contains(served, path.Ext(name)) {
			return err
		}
		body, err := files.ReadFile(name)
		if err != nil {
			return err
		}
		a := newAsset(name, body)
		byName[a.name], byURL[a.url] = a, a
		return nil
	})
	if err != nil {
		panic(fmt.Sprintf("read embedded assets: %v", err))
	}
	return byName, byURL
}

func newAsset(file string, body []byte) asset {
	name, isPacked := strings.CutSuffix(file, packed)
	a := asset{name: name, url: hashed(name, body), body: body}
	if isPacked {
		a.plain = unpackOnce(body)
	}
	return a
}

// hashed puts the content's hash before the extension: app.css becomes
// /assets/app.3f2a91c07d.css.
func hashed(name string, body []byte) string {
	sum := sha256.Sum256(body)
	ext := path.Ext(name)
	return Prefix + strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:5]) + ext
}

// Path returns the URL of a file by its name under assets, such as "app.css". It panics
// on a name that is not there: that is a misspelt page, found by the first test.
func Path(name string) string {
	a, ok := byName[name]
	if !ok {
		panic("no asset named " + name)
	}
	return a.url
}

// Handler serves the files under Prefix. A hashed URL may be kept for ever; the plain
// name is served too, for what must have a lasting URL, and is asked for anew each time.
func Handler() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a, hit := byURL[r.URL.Path]
		keep := "public, max-age=31536000, immutable"
		if !hit {
			a, hit = byName[strings.TrimPrefix(r.URL.Path, Prefix)]
			keep = "no-cache"
		}
		if !hit {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Cache-Control", keep)
		if a.plain != nil {
			servePacked(w, r, a)
			return
		}
		w.Header().Set("ETag", `"`+a.url+`"`)
		http.ServeContent(w, r, a.name, time.Time{}, bytes.NewReader(a.body))
	})
}
