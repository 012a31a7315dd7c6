package watch

import (
	"context"
	"time"

	"saltbush/internal/ref"
)

// LogKind says what a line of the log records. Add, never rename.
type LogKind string

// The kinds of line.
const (
	LogStep         LogKind = "step"         // a step went to one recipient
	LogAcknowledged LogKind = "acknowledged" // somebody has it
	LogNote         LogKind = "note"         // a call, an answer, anything seen
)

// Logged is one line of a watch's log. Lines are appended, never changed.
type Logged struct {
	Hike ref.Hike
	At   time.Time
	Kind LogKind
	// By is who acknowledged or noted, Note what they wrote.
	By, Note string

	// The rest belongs to a step. Round counts how often the step was armed: it is armed
	// anew when its time moves later after it has fired.
	Step   Step
	Round  int
	Due    time.Time
	LateBy time.Duration
	// Recipient is a name with an address, Channel how the message leaves, Outcome what was
	// known when the line was written.
	Recipient, Channel, Outcome string
	// Ref is what the keys of the messages begin with; empty where none was sent.
	Ref string
	// Delivery is what has become of the messages since; the store fills it in.
	Delivery string
}

// Pulse says when a watcher last went through all watches, whichever instance it was.
type Pulse struct {
	Passed time.Time
	By     string
	// Failed is how many steps could not be carried out in that pass, Waiting how many are
	// armed, Overdue how many of them should have fired more than Stale ago.
	Failed, Waiting, Overdue int
}

// Stale is how old the last pass may be before the watch counts as asleep. House
// judgement: many passes fit in, and nobody acts within two minutes of a step's time.
const Stale = 2 * time.Minute

// Asleep reports whether the watch cannot be relied on at a moment.
func (p Pulse) Asleep(now time.Time) bool {
	return now.Sub(p.Passed) >= Stale || p.Failed > 0 || p.Overdue > 0
}

// Store keeps the logs of watches.
type Store interface {
	// WatchLog lists a hike's log in the order of writing.
	WatchLog(ctx context.Context, id ref.Hike) ([]Logged, error)
	// WatchLogs is WatchLog for several hikes at once.
	WatchLogs(ctx context.Context, ids []ref.Hike) (map[ref.Hike][]Logged, error)
	// AddToLog appends an acknowledgement or a note.
	AddToLog(ctx context.Context, l Logged) error
	// Day lists what happened on all hikes from one instant to before another, the latest
	// first and no more than so many records and as many lines.
	Day(ctx context.Context, from, to time.Time, most int) ([]DayEntry, error)
	// Pulse returns the watcher's last pass; its zero value where there was none.
	Pulse(ctx context.Context, now time.Time) (Pulse, error)
}
