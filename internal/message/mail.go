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

// Errors of Mail.Check, wrapped in a FieldError.
var (
	ErrLineBreak = errors.New("has a line break or another control character")
	ErrEmpty     = errors.New("is empty")
	ErrTooLong   = errors.New("is too long")
	ErrNotText   = errors.New("has bytes that are not text")
	ErrAddress   = errors.New("is not an e-mail address")
)

// FieldError says which part of a mail is invalid and why.
type FieldError struct {
	Field string // in lower case, as in "subject"
	Err   error
}

// Error names the field and what is wrong with it.
func (e *FieldError) Error() string { return e.Field + " " + e.Err.Error() }

// Unwrap returns the reason alone.
func (e *FieldError) Unwrap() error { return e.Err }

// State is the delivery state of a mail.
type State string

// The states of a mail.
const (
	Queued State = "queued" // waits for NextTry
	Sent   State = "sent"   // a Sender has taken it
	Failed State = "failed" // given up; kept, so that a person can see it
)

// Channel is how a message is sent. Each has a queue of its own.
type Channel string

// The channels.
const (
	ByMail  Channel = "mail"    // also the zero value
	ByAlarm Channel = "alarm"   // mail in a queue of its own, ahead of all other mail
	ByHook  Channel = "webhook" // To is a phone number, for the organization's own gateway
	ByPush  Channel = "push"    // To is the number of a browser's subscription
)

// OrMail returns the channel, ByMail for the zero value.
func (c Channel) OrMail() Channel {
	if c == "" {
		return ByMail
	}
	return c
}

// Attachment is a file that goes with a mail.
type Attachment struct {
	Name  string // file name, without a folder
	Type  string // media type, such as "text/calendar; charset=utf-8"
	Bytes []byte
	// Inline parts are an alternative to the text, for programs, and no file.
	Inline bool
}

// Mail is one message to one person.
type Mail struct {
	ID      int64
	Channel Channel
	To      string // an address without a name, or what the channel says
	Subject string
	Text    string // plain text; lines end with \n
	Attach  []Attachment

	// Topic and StopAt are set for mail that people may stop, see Stoppable.
	Topic  Topic
	StopAt string

	// Key identifies the message, as in "reminder/place-41". Queueing a key twice sends it
	// once.
	Key string

	Created   time.Time
	NextTry   time.Time // earliest time of the next try; while claimed, the end of the claim
	UselessAt time.Time // given up from then on; zero: never
	SentAt    time.Time // zero until it is sent
	Tries     int       // number of claims so far
	LastError string
	State     State
}

// Limits of a mail.
const (
	// Our judgment: an encoded subject stays far below the 998 octets of a line (RFC 5322,
	// 2008, section 2.1.1). In characters.
	maxSubject = 200

	// Our judgment: our texts are one page, so the limit only stops accidents. In bytes.
	maxText = 64 * 1024

	// Our judgment: room for a calendar file and a map, and below what mail servers accept.
	// In bytes.
	maxAttached = 5 << 20

	// Our judgment: keys are short, because they are indexed. In characters.
	maxKey = 200
)

// Check returns a FieldError for everything that is wrong with the mail, else nil. Every
// sender calls it, so that no field can inject a header.
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

// checkStop allows a topic on ordinary mail alone, and only with an address to stop it at.
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

// checkLine refuses what is not one line of a header. Most is in characters.
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

// breaksLine includes the two line separators of Unicode.
func breaksLine(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029'
}

func checkText(s string) error {
	isControl := func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' }
	switch {
	case text.Empty(s):
		return &FieldError{"text", ErrEmpty}
	case !utf8.ValidString(s):
		return &FieldError{"text", ErrNotText}
	case strings.ContainsFunc(s, isControl):
		return &FieldError{"text", ErrLineBreak}
	case len(s) > maxText:
		return &FieldError{"text", fmt.Errorf("%w: most are %d bytes", ErrTooLong, maxText)}
	}
	return nil
}
