package track

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"
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
		return &latin{from: in}, nil
	}
	return nil, fmt.Errorf("save the file as UTF-8")
}

// Bytes 0x80 to 0x9F of windows-1252 (WHATWG Encoding Standard, index windows-1252).
// A file that says Latin-1 and uses them means these.
var windows1252 = [32]rune{
	0x20AC, 0x81, 0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
	0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0x8D, 0x017D, 0x8F,
	0x90, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
	0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0x9D, 0x017E, 0x0178,
}

// latin turns single-byte text into UTF-8.
type latin struct {
	from    io.Reader
	in      [1024]byte
	pending []byte
	err     error
}

// Read implements io.Reader.
func (l *latin) Read(p []byte) (int, error) {
	for len(l.pending) == 0 {
		if l.err != nil {
			return 0, l.err
		}
		var n int
		n, l.err = l.from.Read(l.in[:])
		for _, b := range l.in[:n] {
			l.pending = append(l.pending, string(latinRune(b))...)
		}
	}
	n := copy(p, l.pending)
	l.pending = l.pending[n:]
	return n, nil
}

func latinRune(b byte) rune {
	if b >= 0x80 && b < 0xA0 {
		return windows1252[b-0x80]
	}
	return rune(b)
}
