package signups_test

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net"
	"net/mail"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"saltbush/internal/message"
	"saltbush/internal/site"
	"saltbush/internal/site/sitetest"
)

// mailroom is a mail server on this machine that hands on what it took.
type mailroom struct {
	port  int
	taken chan string
}

func openMailroom(t testing.TB) mailroom {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	_, text, _ := net.SplitHostPort(l.Addr().String())
	port, _ := strconv.Atoi(text)
	m := mailroom{port, make(chan string, 100)}
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go m.serve(c)
		}
	}()
	return m
}

// serve speaks as much of RFC 5321 as one sender needs.
func (m mailroom) serve(c net.Conn) {
	defer c.Close()
	in := bufio.NewReader(c)
	say := func(text string) { fmt.Fprint(c, text+"\r\n") }
	say("220 mailroom")
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		switch strings.ToUpper(strings.TrimSpace(line)) {
		case "DATA":
			say("354 go on")
			m.taken <- readData(in)
			say("250 taken")
		case "QUIT":
			say("221 bye")
			return
		default:
			say("250 ok")
		}
	}
}

func readData(in *bufio.Reader) string {
	var data strings.Builder
	for {
		line, err := in.ReadString('\n')
		if err != nil || line == ".\r\n" {
			return data.String()
		}
		data.WriteString(strings.TrimPrefix(line, "."))
	}
}

// sends has a site send its mail through this room.
func (m mailroom) sends(t testing.TB) func(*site.Options) {
	t.Helper()
	const from = "hikes@example.org"
	sender, err := message.NewSMTP(message.Server{
		Host:       "127.0.0.1",
		Port:       m.port,
		Encryption: message.InTheClear,
		From:       from,
		FromName:   "Saltbush",
		Timeout:    30 * time.Second,
	})
	if err != nil {
		t.Fatal(err)
	}
	return func(o *site.Options) { o.Mail, o.MailFrom = sender, from }
}

func (m mailroom) next(t testing.TB) *mail.Message {
	t.Helper()
	select {
	case data := <-m.taken:
		msg, err := mail.ReadMessage(strings.NewReader(data))
		if err != nil {
			t.Fatalf("%v\n%s", err, data)
		}
		return msg
	case <-time.After(sitetest.Patience):
		t.Fatal("no mail came")
	}
	return nil
}

// wantNoMore fails where another mail has come.
func (m mailroom) wantNoMore(t testing.TB) {
	t.Helper()
	select {
	case data := <-m.taken:
		t.Errorf("one mail too many:\n%s", data)
	default:
	}
}

// invitation is what a person's calendar reads out of a mail.
type invitation struct{ Subject, Method, Status, Sequence string }

// readInvitation opens a mail as a mail program does: the text first, then the part for the
// calendar.
func readInvitation(t testing.TB, msg *mail.Message) (invitation, ical.Event) {
	t.Helper()
	subject, err := new(mime.WordDecoder).DecodeHeader(msg.Header.Get("Subject"))
	if err != nil {
		t.Fatal(err)
	}
	kind, params, err := mime.ParseMediaType(msg.Header.Get("Content-Type"))
	if err != nil || kind != "multipart/alternative" {
		t.Fatalf("%s is %q, %v; want multipart/alternative", subject, kind, err)
	}
	parts := multipart.NewReader(msg.Body, params["boundary"])
	nextPart(t, parts, "text/plain")
	body, params := nextPart(t, parts, "text/calendar")
	cal, err := ical.NewDecoder(bytes.NewReader(body)).Decode()
	if err != nil || len(cal.Events()) != 1 {
		t.Fatalf("%s: %v\n%s", subject, err, body)
	}
	got := invitation{Subject: strings.SplitN(subject, ":", 2)[0], Method: cal.Props.Get("METHOD").Value}
	if got.Method != params["method"] || !strings.EqualFold(params["charset"], "utf-8") {
		t.Errorf("%s: part %v of a file with method %q", subject, params, got.Method)
	}
	e := cal.Events()[0]
	got.Status, got.Sequence = sitetest.Property(e, "STATUS"), sitetest.Property(e, "SEQUENCE")
	return got, e
}

// nextPart reads the next part of a mail, which must be of that kind.
func nextPart(t testing.TB, parts *multipart.Reader, want string) (body []byte, params map[string]string) {
	t.Helper()
	part, err := parts.NextPart()
	if err != nil {
		t.Fatalf("no part %s: %v", want, err)
	}
	kind, params, err := mime.ParseMediaType(part.Header.Get("Content-Type"))
	if err != nil || kind != want {
		t.Fatalf("part %q, %v; want %s", kind, err, want)
	}
	body, err = io.ReadAll(part)
	if err != nil {
		t.Fatal(err)
	}
	return body, params
}
