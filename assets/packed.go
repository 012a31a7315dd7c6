package assets

import (
	"bytes"
	"io"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/andybalholm/brotli"
)

// packed is the ending of files that are kept as brotli makes them.
const packed = ".br"

// unpackOnce returns a function that unpacks a file with its first call and keeps it.
func unpackOnce(body []byte) func() ([]byte, error) {
	return sync.OnceValues(func() ([]byte, error) { return io.ReadAll(brotli.NewReader(bytes.NewReader(body))) })
}

// servePacked serves a packed file as it is to those who can unpack it. Browsers say so only over
// https and on their own machine.
func servePacked(w http.ResponseWriter, r *http.Request, a asset) {
	h := w.Header()
	h.Add("Vary", "Accept-Encoding")
	if acceptsPacked(r) {
		h.Set("Content-Encoding", "br")
		h.Set("ETag", `"`+a.url+`.br"`)
		http.ServeContent(w, r, a.name, time.Time{}, bytes.NewReader(a.body))
		return
	}
	body, err := a.plain()
	if err != nil {
		http.Error(w, "the file cannot be unpacked", http.StatusInternalServerError)
		return
	}
	h.Set("ETag", `"`+a.url+`"`)
	http.ServeContent(w, r, a.name, time.Time{}, bytes.NewReader(body))
}

// acceptsPacked reports whether a request names brotli, and not to refuse it (RFC 9110, 12.5.3).
func acceptsPacked(r *http.Request) bool {
	for part := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		coding, weight, _ := strings.Cut(part, ";")
		if strings.TrimSpace(coding) == "br" {
			return strings.Trim(strings.TrimSpace(weight), "q=0.") != "" || strings.TrimSpace(weight) == ""
		}
	}
	return false
}
