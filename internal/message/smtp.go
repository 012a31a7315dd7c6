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

// Encryption is how the connection to the mail server is protected.
type Encryption string

// The kinds of encryption.
const (
	StartTLSRequired  Encryption = "starttls"            // fails if the server does not offer it
	StartTLSIfOffered Encryption = "starttls-if-offered" // plain text otherwise
	TLSFromTheStart   Encryption = "tls"                 // usually port 465
	InTheClear        Encryption = "none"                // only for a server on this machine
)

// Server holds the settings of the mail server, and the sender of our mail.
type Server struct {
	Host       string
	Port       int
	Encryption Encryption
	Username   string // empty: no sign-in
	Password   string
	From       string // address
	FromName   string
	Hello      string        // host name in the greeting; empty: the domain of From
	Timeout    time.Duration // for one mail, from dialing to the answer
	TLS        *tls.Config   // nil: verify the certificate for Host with the system roots
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

// Send hands the mail to the server. It returns ErrRefused if Mail.Check fails, or if the
// server permanently refuses this recipient or this text. If the server cannot be reached or
// refuses the site itself, another try is worthwhile: somebody may fix the settings.
func (s *SMTP) Send(ctx context.Context, m Mail) error {
	if err := checkMail(m); err != nil {
		return err
	}
	msg, err := s.compose(m)
	if err != nil {
		return fmt.Errorf("compose mail %d: %w", m.ID, err)
	}
	ctx, cancel := context.WithTimeout(ctx, s.server.Timeout)
	defer cancel() // closes the connection, too
	client, err := s.client(&connection{server: s.server, ctx: ctx})
	if err != nil {
		return fmt.Errorf("mail server: %w", err)
	}
	err = client.DialAndSendWithContext(ctx, msg)
	if err == nil || msg.IsDelivered() {
		return nil // an error after the server has accepted the mail does not matter
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

// isFinal reports whether the server has permanently refused this mail: a 5yz reply to the
// recipient or to the text. RFC 5321 (2008), section 4.2.1.
func isFinal(e *gomail.SendError) bool {
	about := e.Reason == gomail.ErrSMTPRcptTo || e.Reason == gomail.ErrSMTPData || e.Reason == gomail.ErrSMTPDataClose
	return about && e.ErrorCode() >= 500 && e.ErrorCode() < 600
}

// checkMail is Mail.Check as a permanent error of a Sender.
func checkMail(m Mail) error {
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
	// RFC 3834 (2004), section 5: keeps vacation replies away.
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
			// RFC 2046 (1996), section 5.1.4: the plainest form comes first, which is the text.
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
// address. The same key gives the same identifier, so that receivers can recognize a second
// copy.
func MessageID(key, from string) string {
	sum := sha256.Sum256([]byte(key))
	return hex.EncodeToString(sum[:16]) + "@" + domainOf(from)
}

func domainOf(address string) string {
	return address[strings.LastIndex(address, "@")+1:]
}

func (s *SMTP) client(d *connection) (*gomail.Client, error) {
	// The context of Send limits the time. The library's own timeout starts again at each
	// step, and only has to be longer.
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
	return gomail.NoTLS // plain text, or encrypted by the dialer already
}

// connection is the connection of one Send. It is closed when the context of that Send ends,
// whatever state the exchange is in.
type connection struct {
	server Server
	ctx    context.Context
	conn   net.Conn
}

// dial connects. The context of its argument ends with the dialing.
func (d *connection) dial(ctx context.Context, network, address string) (net.Conn, error) {
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

func (d *connection) close() { _ = d.conn.Close() }
