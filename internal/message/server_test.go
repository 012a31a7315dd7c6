package message_test

import (
	"bufio"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"math/big"
	"net"
	"strings"
	"sync"
	"testing"
	"time"
)

// script is how the receiver behaves. Replies are by verb: GREETING, EHLO, MAIL, RCPT,
// DATA, END (after the text), RSET, QUIT. A missing one is the usual answer, hang never
// answers, and drop closes the connection.
type script struct {
	replies  map[string]string
	starttls bool
	implicit bool // TLS from the first byte
	auth     bool
}

const (
	hang = "hang"
	drop = "drop"
)

// letterbox is a mail that the receiver accepted.
type letterbox struct {
	from, to, data string
	encrypted      bool
	user           string
}

// receiver is a small SMTP server (RFC 5321) on 127.0.0.1.
type receiver struct {
	script script
	tls    *tls.Config
	port   int

	mu    sync.Mutex
	taken []letterbox
	lines []string // every command, as it came
	done  chan struct{}
	conns sync.WaitGroup
}

// receive starts a receiver that ends with the test.
func receive(t *testing.T, s script) *receiver {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	r := &receiver{script: s, tls: certificate(t), port: l.Addr().(*net.TCPAddr).Port, done: make(chan struct{})}
	r.conns.Go(func() { r.accept(l) })
	t.Cleanup(func() {
		close(r.done)
		_ = l.Close()
		r.conns.Wait()
	})
	return r
}

func (r *receiver) accept(l net.Listener) {
	for {
		conn, err := l.Accept()
		if err != nil {
			return
		}
		r.conns.Go(func() {
			if r.script.implicit {
				conn = tls.Server(conn, r.tls)
			}
			s := &session{receiver: r, conn: conn, in: bufio.NewReader(conn)}
			s.box.encrypted = r.script.implicit
			s.run()
			_ = conn.Close()
		})
	}
}

func (r *receiver) letters() []letterbox {
	r.mu.Lock()
	defer r.mu.Unlock()
	return append([]letterbox(nil), r.taken...)
}

func (r *receiver) commands() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return strings.Join(r.lines, "\n")
}

type session struct {
	receiver *receiver
	conn     net.Conn
	in       *bufio.Reader
	box      letterbox
}

// say answers a verb and reports whether the session goes on.
func (s *session) say(verb, usual string) bool {
	reply, scripted := s.receiver.script.replies[verb]
	switch {
	case !scripted:
		reply = usual
	case reply == drop:
		return false
	case reply == hang:
		<-s.receiver.done
		return false
	}
	_, err := s.conn.Write([]byte(reply + "\r\n"))
	return err == nil
}

func (s *session) run() {
	_ = s.conn.SetDeadline(time.Now().Add(20 * time.Second))
	for on := s.say("GREETING", "220 loopback ready"); on; {
		line, err := s.in.ReadString('\n')
		if err != nil {
			return
		}
		line = strings.TrimRight(line, "\r\n")
		s.receiver.mu.Lock()
		s.receiver.lines = append(s.receiver.lines, line)
		s.receiver.mu.Unlock()
		on = s.command(line)
	}
}

func (s *session) command(line string) bool {
	verb, rest, _ := strings.Cut(line, " ")
	switch verb = strings.ToUpper(verb); verb {
	case "EHLO":
		return s.say(verb, s.extensions())
	case "STARTTLS":
		return s.startTLS()
	case "AUTH":
		s.box.user = rest
		return s.say(verb, "235 welcome")
	case "MAIL":
		s.box.from = rest
		return s.say(verb, "250 ok")
	case "RCPT":
		s.box.to = rest
		return s.say(verb, "250 ok")
	case "DATA":
		return s.data()
	case "QUIT":
		s.say(verb, "221 bye")
		return false
	}
	return s.say(verb, "250 ok")
}

func (s *session) extensions() string {
	lines := []string{"250-loopback"}
	if s.receiver.script.starttls && !s.box.encrypted {
		lines = append(lines, "250-STARTTLS")
	}
	if s.receiver.script.auth {
		lines = append(lines, "250-AUTH PLAIN")
	}
	return strings.Join(append(lines, "250 HELP"), "\r\n")
}

func (s *session) startTLS() bool {
	if !s.say("STARTTLS", "220 go on") {
		return false
	}
	s.conn = tls.Server(s.conn, s.receiver.tls)
	s.in = bufio.NewReader(s.conn)
	s.box.encrypted = true
	return true
}

func (s *session) data() bool {
	reply := s.receiver.script.replies["DATA"]
	if !s.say("DATA", "354 go on") || (reply != "" && !strings.HasPrefix(reply, "354")) {
		return reply != "" && reply != hang && reply != drop
	}
	var text strings.Builder
	for {
		line, err := s.in.ReadString('\n')
		if err != nil {
			return false
		}
		if line == ".\r\n" {
			break
		}
		text.WriteString(strings.TrimPrefix(line, "."))
	}
	s.box.data = text.String()
	if reply := s.receiver.script.replies["END"]; reply == "" || strings.HasPrefix(reply, "2") {
		s.receiver.mu.Lock()
		s.receiver.taken = append(s.receiver.taken, s.box)
		s.receiver.mu.Unlock()
	}
	return s.say("END", "250 taken")
}

// certificate makes a fresh self-signed certificate for 127.0.0.1.
func certificate(t *testing.T) *tls.Config {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	return &tls.Config{Certificates: []tls.Certificate{{Certificate: [][]byte{der}, PrivateKey: key}},
		MinVersion: tls.VersionTLS12}
}

// trust is a client's configuration that trusts the receiver's certificate.
func (r *receiver) trust(t *testing.T) *tls.Config {
	t.Helper()
	cert, err := x509.ParseCertificate(r.tls.Certificates[0].Certificate[0])
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(cert)
	return &tls.Config{RootCAs: roots, MinVersion: tls.VersionTLS12}
}
