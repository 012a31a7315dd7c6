package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net"
	"net/http"
	"net/mail"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"

	"saltbush/internal/hike"
)

// mailroom is a mail server on this machine that hands on what it took.
type mailroom struct {
	port  string
	taken chan string
}

func openMailroom(t testing.TB) mailroom {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	_, port, _ := net.SplitHostPort(l.Addr().String())
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
	say := func(text string) { _, _ = fmt.Fprint(c, text+"\r\n") }
	say("220 mailroom")
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		switch strings.ToUpper(strings.TrimSpace(line)) {
		case "DATA":
			say("354 go on")
			var data strings.Builder
			for line, err = in.ReadString('\n'); err == nil && line != ".\r\n"; line, err = in.ReadString('\n') {
				data.WriteString(strings.TrimPrefix(line, "."))
			}
			m.taken <- data.String()
			say("250 taken")
		case "QUIT":
			say("221 bye")
			return
		default:
			say("250 ok")
		}
	}
}

// args have a program send through this room.
func (m mailroom) args() []string {
	return []string{"--smtp-host", "127.0.0.1", "--smtp-port", m.port, "--smtp-encryption", "none", "--smtp-from", "hikes@example.org"}
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
	case <-time.After(30 * time.Second):
		t.Fatal("no mail came")
	}
	return nil
}

// invited is what a person's calendar reads out of a mail.
type invited struct{ Subject, Method, Status, Sequence string }

// readInvitation opens a mail as a mail program does: text first, then the calendar's part.
func readInvitation(t testing.TB, msg *mail.Message) (invited, ical.Event) {
	t.Helper()
	subject, err := new(mime.WordDecoder).DecodeHeader(msg.Header.Get("Subject"))
	if err != nil {
		t.Fatal(err)
	}
	got := invited{Subject: strings.SplitN(subject, ":", 2)[0]}
	kind, params, err := mime.ParseMediaType(msg.Header.Get("Content-Type"))
	if err != nil || kind != "multipart/alternative" {
		t.Fatalf("%s is %q, %v", subject, kind, err)
	}
	parts := multipart.NewReader(msg.Body, params["boundary"])
	text, err := parts.NextPart()
	if err != nil || !strings.HasPrefix(text.Header.Get("Content-Type"), "text/plain") {
		t.Fatalf("%s: the first part is no text: %v", subject, err)
	}
	part, err := parts.NextPart()
	if err != nil {
		t.Fatalf("%s: no second part: %v", subject, err)
	}
	kind, params, err = mime.ParseMediaType(part.Header.Get("Content-Type"))
	if err != nil || kind != "text/calendar" || !strings.EqualFold(params["charset"], "utf-8") {
		t.Fatalf("%s: the second part is %q %v, %v", subject, kind, params, err)
	}
	body, err := io.ReadAll(part)
	if err != nil {
		t.Fatal(err)
	}
	cal, err := ical.NewDecoder(bytes.NewReader(body)).Decode()
	if err != nil || len(cal.Events()) != 1 {
		t.Fatalf("%s: %v\n%s", subject, err, body)
	}
	got.Method = cal.Props.Get("METHOD").Value
	if got.Method != params["method"] {
		t.Errorf("%s: the part says %q, the file %q", subject, params["method"], got.Method)
	}
	e := cal.Events()[0]
	got.Status, got.Sequence = valueOf(e, "STATUS"), valueOf(e, "SEQUENCE")
	return got, e
}

// One place from its confirmation to the end, as the person's calendar sees it.
func TestInvitationFollowsThePlace(t *testing.T) {
	room := openMailroom(t)
	p := serveStaffedWith(t, room.args()...)
	d, c := decided{p, t, p.signIn(t, "leads@example.org")}, client(t)
	form := signUpForm(1)
	form.Set("seal", p.openForm(t, c))
	res, err := c.PostForm(p.base+"/hikes/1/sign-up", form)
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	place := res.Header.Get("Location")
	var uid string
	expect := func(want invited) ical.Event {
		t.Helper()
		got, e := readInvitation(t, room.next(t))
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("-want +got\n%s", diff)
		}
		if uid == "" {
			uid = valueOf(e, "UID")
		}
		if valueOf(e, "UID") != uid || valueOf(e, "ORGANIZER") != "mailto:hikes@example.org" || valueOf(e, "ATTENDEE") != "mailto:walker1@example.org" {
			t.Errorf("UID %s, want %s; organizer %s, attendee %s", valueOf(e, "UID"), uid, valueOf(e, "ORGANIZER"), valueOf(e, "ATTENDEE"))
		}
		if strings.Contains(valueOf(e, "URL")+valueOf(e, "DESCRIPTION"), place) {
			t.Error("the entry shows the private link to whoever sees the calendar")
		}
		return e
	}
	expect(invited{"Your place is confirmed", "REQUEST", "CONFIRMED", "0"})

	edit := d.editForm(func(h *hike.Hike) { h.Meet = h.Meet.Add(-20 * time.Minute).Truncate(time.Minute) })
	for range 2 { // the second changes nothing and is told to nobody
		if status, page := d.send(d.c, "/hikes/1", edit); status != http.StatusSeeOther {
			t.Fatalf("edit: status %d\n%s", status, page)
		}
	}
	e := expect(invited{"Changed", "REQUEST", "CONFIRMED", "1"})
	h, err := p.db.Hike(context.Background(), 1)
	if err != nil {
		t.Fatal(err)
	}
	if at, err := e.DateTimeStart(nil); err != nil || !at.Equal(h.Meet) {
		t.Errorf("begins %v, %v, want %v", at, err, h.Meet)
	}

	for _, step := range []struct {
		path string
		want invited
	}{
		{"/withdraw", invited{"You have withdrawn", "CANCEL", "CANCELLED", "2"}},
		{"/ask-again", invited{"Your place is confirmed", "REQUEST", "CONFIRMED", "3"}},
		{"/withdraw", invited{"You have withdrawn", "CANCEL", "CANCELLED", "4"}},
		{"/ask-again", invited{"Your place is confirmed", "REQUEST", "CONFIRMED", "5"}},
	} {
		if status, page := d.send(c, place+step.path, nil); status != http.StatusSeeOther {
			t.Fatalf("%s: status %d\n%s", step.path, status, page)
		}
		expect(step.want)
	}
	if status, page := d.send(d.c, "/hikes/1/call-off", url.Values{"reason": {"Storm upstream."}}); status != http.StatusSeeOther {
		t.Fatalf("calling off: status %d\n%s", status, page)
	}
	expect(invited{"Called off", "CANCEL", "CANCELLED", "6"})
	select {
	case data := <-room.taken:
		t.Errorf("one mail too many:\n%s", data)
	default:
	}
}

// editForm is the scheduling form of the hike as it stands, but for the change.
func (d decided) editForm(change func(*hike.Hike)) url.Values {
	d.t.Helper()
	h, err := d.db.Hike(context.Background(), 1)
	if err != nil {
		d.t.Fatal(err)
	}
	change(&h)
	return url.Values{"trail": {"1"}, "title": {h.Title}, "date": {h.Start.Format(time.DateOnly)}, "meet": {h.Meet.Format("15:04")}, "start": {h.Start.Format("15:04")},
		"places": {fmt.Sprint(h.Places)}, "pace": {string(h.Pace)}, "leader": {fmt.Sprint(h.Staff[0].Account)}}
}
