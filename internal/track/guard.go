package track

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/charmap"
)

// tokenBytes bounds one tag, text or comment. The XML decoder holds a whole token in
// memory, so this, not the limit on the file, is what bounds the memory of reading.
//
// Our judgment: the longest real token met is a description of a few kilobytes.
const tokenBytes = 64 << 10

// guard counts what the decoder takes: in all, and since its last token. It remembers
// why it stopped, since the decoder wraps or hides errors of its reader.
type guard struct {
	from   io.Reader
	limit  int64
	total  int64
	token  int64
	reason string // the file breaks a limit
	broken error  // the reader underneath failed
}

// nextToken starts a new count. What the decoder's buffer already holds is not in it, so
// the bound is exact to the size of that buffer.
func (g *guard) nextToken() { g.token = 0 }

// Read implements io.Reader.
func (g *guard) Read(p []byte) (int, error) {
	if g.reason != "" {
		return 0, io.ErrUnexpectedEOF
	}
	n, err := g.from.Read(p)
	g.total += int64(n)
	g.token += int64(n)
	switch {
	case g.total > g.limit:
		g.reason = fmt.Sprintf("the file is larger than %s", byteCount(g.limit))
	case g.token > tokenBytes:
		g.reason = fmt.Sprintf("one tag, text or comment is longer than %s", byteCount(tokenBytes))
	case err != nil && err != io.EOF:
		g.broken = err
		return n, err
	default:
		return n, err
	}
	return 0, io.ErrUnexpectedEOF
}

func byteCount(n int64) string {
	switch {
	case n >= 1<<20 && n%(1<<20) == 0:
		return fmt.Sprintf("%d MiB", n>>20)
	case n >= 1<<10 && n%(1<<10) == 0:
		return fmt.Sprintf("%d KiB", n>>10)
	}
	return fmt.Sprintf("%d bytes", n)
}

// opening looks at the first bytes: it skips a byte order mark, and names the kinds of
// file that people upload by mistake.
func opening(r *bufio.Reader) (reason string) {
	head, _ := r.Peek(4)
	switch {
	case len(head) == 0:
		return "the file is empty"
	case bytes.HasPrefix(head, []byte{0xEF, 0xBB, 0xBF}):
		_, _ = r.Discard(3)
	case bytes.HasPrefix(head, []byte{0xFF, 0xFE}), bytes.HasPrefix(head, []byte{0xFE, 0xFF}):
		return "the file is in UTF-16: save it as UTF-8"
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return "this is a zip file: unpack it and choose the GPX file inside"
	case bytes.HasPrefix(head, []byte{0x1F, 0x8B}):
		return "this is a gzip file: unpack it and choose the GPX file inside"
	}
	return ""
}

// decode returns a reader of UTF-8 for the encodings that old devices write.
func decode(label string, in io.Reader) (io.Reader, error) {
	switch strings.ToLower(label) {
	case "utf-8", "utf8", "us-ascii", "ascii":
		return in, nil
	case "iso-8859-1", "latin1", "latin-1", "windows-1252", "cp1252":
		// Devices that say Latin-1 and use 0x80 to 0x9F mean Windows-1252, as the WHATWG Encoding
		// Standard reads them too.
		return charmap.Windows1252.NewDecoder().Reader(in), nil
	}
	return nil, fmt.Errorf("save the file as UTF-8")
}
