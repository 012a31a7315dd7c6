package watch

import (
	"context"
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/ref"
)

// LogKind says what a line of the log records. Stored: add new ones, never rename old ones.
type LogKind string

// The kinds of line.
const (
	LogStep         LogKind = "step"         // a step was sent to one recipient
	LogAcknowledged LogKind = "acknowledged" // somebody took the alarm
	LogNote         LogKind = "note"         // a call, an answer, an observation
	LogPassed       LogKind = "passed"       // whoever had the alarm passed it on to the owner in Recipient
	LogCalled       LogKind = "called"       // somebody called the emergency number
	LogOpened       LogKind = "opened"       // whoever a step was sent to has opened the watch since
)

// Logged is one line of a watch's log. Lines are appended, never changed.
type Logged struct {
	Hike ref.Hike
	At   time.Time
	Kind LogKind
	// By is who acknowledged or noted, Note what they wrote.
	By, Note string

	// The rest belongs to steps. Round counts how often the step was armed: it is armed again
	// if its time moves later after it has fired.
	Step   Step
	Round  int
	Due    time.Time
	LateBy time.Duration
	// Recipient is a name with an address, Channel how the message is sent, Outcome what was
	// known when the line was written.
	Recipient, Channel, Outcome string
	// Ref is the prefix of the messages' keys, empty if none was sent.
	Ref string
	// Delivery is what has become of the messages since. The store fills it in.
	Delivery string
}

// Pulse describes the watcher's last pass through all watches, on whichever instance.
type Pulse struct {
	Passed time.Time
	By     string
	// Failed is how many steps could not be carried out in that pass, Waiting how many are
	// armed, Overdue how many of those should have fired more than Stale ago.
	Failed, Waiting, Overdue int
}

// Stale is how old the last pass may be before the watch counts as asleep. Our judgment: it
// is long enough for many passes, and nobody acts within two minutes of a step's time.
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
	// AddToLog appends an acknowledgment or a note.
	AddToLog(ctx context.Context, l Logged) error
	// Day lists what happened on all hikes from one instant to before another, the latest
	// first, with at most most events and as many lines.
	Day(ctx context.Context, from, to time.Time, most int) ([]DayEntry, error)
	// Pulse returns the watcher's last pass, the zero value if there was none.
	Pulse(ctx context.Context, now time.Time) (Pulse, error)
}

// DayEntry is one thing that happened on some hike: an event of its roll or a line of its
// log. Exactly one of Record and Line is set.
type DayEntry struct {
	Hike  ref.Hike
	Title string
	// Zone is the trailhead's.
	Zone   *time.Location
	Record *party.Event
	// Names are those of the people in the event who have a sign-up.
	Names []string
	Line  *Logged
}

// At is when it happened.
func (e DayEntry) At() time.Time {
	if e.Record != nil {
		return e.Record.At
	}
	return e.Line.At
}

// SortDay sorts entries by time, the latest first.
func SortDay(list []DayEntry) {
	slices.SortStableFunc(list, func(a, b DayEntry) int { return b.At().Compare(a.At()) })
}
