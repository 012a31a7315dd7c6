package localpg

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"
)

// bar draws the progress of a download on one line of a terminal, which it overwrites.
type bar struct {
	to          io.Writer // nil: draw nothing
	done, total int64     // bytes; total < 0 if unknown
	drawn       time.Time
}

func newBar(to io.Writer, total int64) *bar {
	if f, ok := to.(*os.File); ok {
		if st, err := f.Stat(); err == nil && st.Mode()&os.ModeCharDevice != 0 {
			return &bar{to: to, total: total}
		}
	}
	return &bar{}
}

// Write counts the bytes. Our judgment: ten redraws a second look smooth.
func (b *bar) Write(p []byte) (int, error) {
	b.done += int64(len(p))
	if b.to != nil && time.Since(b.drawn) > 100*time.Millisecond {
		b.drawn = time.Now()
		fmt.Fprint(b.to, "\r", b.line())
	}
	return len(p), nil
}

func (b *bar) end() {
	if b.to != nil {
		fmt.Fprint(b.to, "\r", b.line(), "\n")
	}
}

// line returns the text of the bar. Its length is constant if the total is known, so that it
// overwrites the last one.
func (b *bar) line() string {
	const width, mega = 30, 1e6
	if b.total <= 0 {
		return fmt.Sprintf("  %.1f MB", float64(b.done)/mega)
	}
	full := int(min(b.done, b.total) * width / b.total)
	return fmt.Sprintf("  [%s%s] %3d %%  %5.1f of %.1f MB", strings.Repeat("#", full), strings.Repeat(" ", width-full),
		b.done*100/b.total, float64(b.done)/mega, float64(b.total)/mega)
}
