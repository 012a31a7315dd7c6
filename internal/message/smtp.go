package message

import (
	"bytes"
	"context"
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"strconv"
	"strings"
	"time"

	gomail "github.com/wneessen/go-mail"
)

// Encryption says how the connection to the mail server is protected.
type Encryption string

// The kinds of encryption.
const (
	StartTLSRequired  Encryption = "starttls"            // refuses a server that does not offer it
	StartTLSIfOffered Encryption = "starttls-if-offered" // in the clear otherwise
	TLSFromTheStart   Encryption = "tls"                 // usually port 465
	InTheClear        Encryption = "none"                // only for a server on this machine
)

// Server says which mail server takes our mail and in whose name it goes.
type Server struct {
	Host       string
	Port       int
	Encryption Encryption
	Username   string // empty: the server wants no sign-in
	Password   string
	From       string // address
	FromName   string
	Hello      string        // our name in the greeting; empty: the domain of From
	Timeout    time.Duration // for one mail, from dialling to the answer
	TLS        *tls.Config   // nil: the certificate is checked against Host and the machine's roots
}

// SMTP is a Sender that hands mail to a mail server.
type SMTP struct{ server Server }

// NewSMTP checks the settings and returns a sender. It does not connect.
func NewSMTP(s Server) (*SMTP, error) {
	from, err := ParseAddress(s.From)
	if err != nil {
		return nil, fmt.Errorf("mail server: from address: %w", err)
	}
	switch {
	case s.Host == "":
		return nil, errors.New("mail server: no host")
	case s.Port < 1 || s.Port > 65535:
		return nil, fmt.Errorf("mail server: port %d is not between 1 and 65535", s.Port)
	case s.Timeout <= 0:
		return nil, errors.New("mail server: no timeout")
	case s.FromName != "" && checkLine("from name", s.FromName, maxSubject) != nil:
		return nil, fmt.Errorf("mail server: %w", checkLine("from name", s.FromName, maxSubject))
	}
	switch s.Encryption {
	case StartTLSRequired, StartTLSIfOffered, TLSFromTheStart, InTheClear:
	default:
		return nil, fmt.Errorf("mail server: %q is not a kind of encryption: "+
			"use starttls, starttls-if-offered, tls or none", s.Encryption)
	}
	s.From = from
	s.prepare()
	return &SMTP{s}, nil
}

func (s *Server) prepare() {
	if s.Hello == "" {
		s.Hello = domainOf(s.From)
	}
	if s.TLS == nil {
		s.TLS = &tls.Config{MinVersion: tls.VersionTLS12}
	}
	s.TLS = s.TLS.Clone()
	if s.TLS.ServerName == "" {
		s.TLS.ServerName = s.Host
	}
}

// Send hands the mail to the server. It is ErrRefused where the server refuses this
// recipient or this text for good, or where Mail.Check does; a server that cannot be
// reached or refuses us is worth another try, for a person may set it right.
func (s *SMTP) Send(ctx context.Context, m Mail) error {
	if err := checked(m); err != nil {
		return err
	}
	msg, err := s.compose(m)
	if err != nil {
		return fmt.Errorf("compose mail %d: %w", m.ID, err)
	}
	ctx, cancel := context.WithTimeout(ctx, s.server.Timeout)
	defer cancel() // closes the connection, too
	client, err := s.client(&dialled{server: s.server, ctx: ctx})
	if err != nil {
		return fmt.Errorf("mail server: %w", err)
	}
	err = client.DialAndSendWithContext(ctx, msg)
	if err == nil || msg.IsDelivered() {
		return nil // a bad goodbye after the server has taken the mail changes nothing
	}
	return s.explain(ctx, err)
}

func (s *SMTP) explain(ctx context.Context, err error) error {
	where := net.JoinHostPort(s.server.Host, strconv.Itoa(s.server.Port))
	if ctx.Err() != nil {
		return fmt.Errorf("%s: no answer in time: %w", where, ctx.Err())
	}
	var send *gomail.SendError
	if errors.As(err, &send) && isFinal(send) {
		return fmt.Errorf("%s: %w: %w", where, ErrRefused, err)
	}
	return fmt.Errorf("%s: %w", where, err)
}

// isFinal tells whether the server has refused this mail for good: an answer of 5yz to
// the recipient or to the text. RFC 5321 (2008), section 4.2.1.
func isFinal(e *gomail.SendError) bool {
	about := e.Reason == gomail.ErrSMTPRcptTo || e.Reason == gomail.ErrSMTPData || e.Reason == gomail.ErrSMTPDataClose
	return about && e.ErrorCode() >= 500 && e.ErrorCode() < 600
}

// checked is Mail.Check as a Sender says it.
func checked(m Mail) error {
	if err := m.Check(); err != nil {
		return fmt.Errorf("%w: %w", ErrRefused, err)
	}
	return nil
}

func (s *SMTP) compose(m Mail) (*gomail.Msg, error) {
	msg := gomail.NewMsg(gomail.WithNoDefaultUserAgent())
	if err := errors.Join(msg.FromFormat(s.server.FromName, s.server.From), msg.To(m.To)); err != nil {
		return nil, err
	}
	msg.Subject(m.Subject)
	msg.SetMessageIDWithValue(MessageID(m.Key, s.server.From))
	msg.SetDateWithValue(m.Created)
	// RFC 3834 (2004), section 5: no holiday notices in answer, please.
	msg.SetGenHeader("Auto-Submitted", "auto-generated")
	if m.StopAt != "" {
		msg.SetGenHeader(gomail.HeaderListUnsubscribe, "<"+m.StopAt+">") // RFC 2369 (1998), section 3.2
	}
	if strings.HasPrefix(m.StopAt, "https:") {
		// RFC 8058 (2017), section 3.1: only by https
		msg.SetGenHeader(gomail.HeaderListUnsubscribePost, "List-Unsubscribe=One-Click")
	}
	msg.SetBodyString(gomail.TypeTextPlain, m.Text)
	for _, a := range m.Attach {
		if a.Inline {
			// RFC 2046 (1996), section 5.1.4: the plainest form stands first, which is the text.
			msg.AddAlternativeString(gomail.ContentType(a.Type), string(a.Bytes))
			continue
		}
		kind := gomail.WithFileContentType(gomail.ContentType(a.Type))
		if err := msg.AttachReader(a.Name, bytes.NewReader(a.Bytes), kind); err != nil {
			return nil, err
		}
	}
	return msg, nil
}

// MessageID returns the identifier, without brackets, of the mail with the key from the
// address. The same key gives the same identifier, so that servers and readers can tell
// a second copy.
func MessageID(key, from string) string {
	sum := sha256.Sum256([]byte(key))
	return hex.EncodeToString(sum[:16]) + "@" + domainOf(from)
}

func domainOf(address string) string {
	return address[strings.LastIndex(address, "@")+1:]
}

func (s *SMTP) client(d *dialled) (*gomail.Client, error) {
	// The context of Send keeps the time; the library's own limit, which counts for each
	// step anew, only has to be later.
	later := 2 * s.server.Timeout
	options := []gomail.Option{
		gomail.WithPort(s.server.Port), gomail.WithTimeout(later), gomail.WithHELO(s.server.Hello),
		gomail.WithTLSConfig(s.server.TLS), gomail.WithDialContextFunc(d.dial), gomail.WithTLSPolicy(s.policy()),
		gomail.WithoutNoop(),
	}
	if s.server.Username != "" {
		options = append(options, gomail.WithUsername(s.server.Username), gomail.WithPassword(s.server.Password),
			gomail.WithOpportunisticSMTPAuth(gomail.SMTPAuthSCRAMSHA256, gomail.SMTPAuthPlain, gomail.SMTPAuthLogin))
	}
	return gomail.NewClient(s.server.Host, options...)
}

func (s *SMTP) policy() gomail.TLSPolicy {
	switch s.server.Encryption {
	case StartTLSRequired:
		return gomail.TLSMandatory
	case StartTLSIfOffered:
		return gomail.TLSOpportunistic
	}
	return gomail.NoTLS // in the clear, or encrypted by the dialler already
}

// dialled holds the one connection of one Send, so that it is closed when the context of
// that Send ends, wherever the exchange stands, and never left behind after an error.
type dialled struct {
	server Server
	ctx    context.Context
	conn   net.Conn
}

// dial connects within the context of its argument, which ends with the dialling.
func (d *dialled) dial(ctx context.Context, network, address string) (net.Conn, error) {
	var err error
	if d.server.Encryption == TLSFromTheStart {
		d.conn, err = (&tls.Dialer{Config: d.server.TLS}).DialContext(ctx, network, address)
	} else {
		d.conn, err = (&net.Dialer{}).DialContext(ctx, network, address)
	}
	if err == nil {
		context.AfterFunc(d.ctx, d.close)
	}
	return d.conn, err
}

func (d *dialled) close() { _ = d.conn.Close() }
