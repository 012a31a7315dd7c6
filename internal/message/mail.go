package message

import (
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"saltbush/internal/text"
)

// Refusals of a mail before it leaves. They are wrapped in a FieldError.
var (
	ErrLineBreak = errors.New("has a line break or another control character")
	ErrEmpty     = errors.New("is empty")
	ErrTooLong   = errors.New("is too long")
	ErrNotText   = errors.New("has bytes that are not text")
	ErrAddress   = errors.New("is not an e-mail address")
)

// FieldError says which part of a mail is refused and why.
type FieldError struct {
	Field string // in lower case, as in "subject"
	Err   error
}

// Error names the field and what is wrong with it.
func (e *FieldError) Error() string { return e.Field + " " + e.Err.Error() }

// Unwrap returns the reason alone.
func (e *FieldError) Unwrap() error { return e.Err }

// State is where a mail is on its way.
type State string

// The states of a mail.
const (
	Queued State = "queued" // waits for NextTry
	Sent   State = "sent"   // a Sender has taken it
	Failed State = "failed" // given up; kept, so that a person can see it
)

// Channel is the way on which a message leaves. Each has a queue of its own.
type Channel string

// The channels.
const (
	ByMail  Channel = "mail"    // the zero value counts as this
	ByAlarm Channel = "alarm"   // mail too, in a queue in which nothing else waits
	ByHook  Channel = "webhook" // To is a phone number, for an organisation's own gateway
	ByPush  Channel = "push"    // To is the number of a browser's subscription
)

// OrMail names the channel; a message without one is mail.
func (c Channel) OrMail() Channel {
	if c == "" {
		return ByMail
	}
	return c
}

// Attachment is a file that goes with a mail.
type Attachment struct {
	Name  string // as the reader sees it, without a folder
	Type  string // media type, such as "text/calendar; charset=utf-8"
	Bytes []byte
	// Inline: the text once more for programs, sent beside it and not as a file.
	Inline bool
}

// Mail is one message to one person.
type Mail struct {
	ID      int64
	Channel Channel
	To      string // one address, without a name; a phone number by webhook
	Subject string
	Text    string // plain text; lines end with \n
	Attach  []Attachment

	// Topic and StopAt are set for mail that one can do without, see Stoppable.
	Topic  Topic
	StopAt string

	// Key is the same for the same message, however often it is queued or sent, and
	// differs between messages: "reminder/place-41".
	Key string

	Created   time.Time
	NextTry   time.Time // not tried before; while claimed, the end of the claim
	UselessAt time.Time // given up rather than sent from then on; zero: never
	SentAt    time.Time // zero: not yet
	Tries     int       // how often it has been claimed
	LastError string
	State     State
}

// Limits of a mail.
const (
	// House judgement: an encoded subject stays far below the 998 octets of a line.
	// RFC 5322 (2008), section 2.1.1.
	maxSubject = 200

	// House judgement: our texts are one page; the limit only stops accidents.
	maxText = 64 * 1024

	// House judgement: room for a calendar file and a map, and below what servers take.
	maxAttached = 5 << 20

	// House judgement: keys are short and become an index in a table.
	maxKey = 200
)

// Check returns what is wrong with the mail, each as a FieldError, else nil. Every
// sender asks it, so that no field can end a header and begin another.
func (m Mail) Check() error {
	errs := []error{m.checkTo(), checkLine("subject", m.Subject, maxSubject), checkLine("key", m.Key, maxKey),
		checkText(m.Text)}
	errs = append(errs, m.checkStop())
	size := 0
	for _, a := range m.Attach {
		errs = append(errs, a.check())
		size += len(a.Bytes)
	}
	if size > maxAttached {
		errs = append(errs,
			&FieldError{"attachments", fmt.Errorf("%w: %d bytes, most are %d", ErrTooLong, size, maxAttached)})
	}
	return errors.Join(errs...)
}

// checkStop refuses to let an alarm be stopped, and a way out that leads nowhere.
func (m Mail) checkStop() error {
	switch {
	case m.Topic == "" && m.StopAt == "":
		return nil
	case m.Topic == "" || m.StopAt == "":
		return &FieldError{"topic", errors.New("stands without an address to stop it at, or the address without it")}
	case m.Channel.OrMail() != ByMail:
		return &FieldError{"topic", errors.New("cannot be stopped: it is no ordinary mail")}
	}
	return checkLink(m.StopAt)
}

func (m Mail) checkTo() error {
	if m.Channel == ByHook || m.Channel == ByPush {
		return checkLine("to", m.To, maxSubject)
	}
	_, err := ParseAddress(m.To)
	return err
}

func (a Attachment) check() error {
	if strings.ContainsAny(a.Name, `/\"`) {
		return &FieldError{"attachment name", errors.New("has a slash or a quotation mark")}
	}
	return errors.Join(checkLine("attachment name", a.Name, maxSubject),
		checkLine("attachment type", a.Type, maxSubject))
}

// checkLine refuses what cannot stand in one line of a header.
func checkLine(field, s string, most int) error {
	switch {
	case text.Empty(s):
		return &FieldError{field, ErrEmpty}
	case !utf8.ValidString(s):
		return &FieldError{field, ErrNotText}
	case strings.ContainsFunc(s, breaksLine):
		return &FieldError{field, ErrLineBreak}
	case text.Longer(s, most):
		return &FieldError{field, fmt.Errorf("%w: most are %d characters", ErrTooLong, most)}
	}
	return nil
}

// breaksLine also counts the two separators that Unicode takes for line ends.
func breaksLine(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029'
}

func checkText(s string) error {
	strange := func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' }
	switch {
	case text.Empty(s):
		return &FieldError{"text", ErrEmpty}
	case !utf8.ValidString(s):
		return &FieldError{"text", ErrNotText}
	case strings.ContainsFunc(s, strange):
		return &FieldError{"text", ErrLineBreak}
	case len(s) > maxText:
		return &FieldError{"text", fmt.Errorf("%w: most are %d bytes", ErrTooLong, maxText)}
	}
	return nil
}
