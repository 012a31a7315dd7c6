package message_test

import (
	"context"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
)

func created() time.Time { return time.Date(2026, 5, 1, 17, 0, 0, 0, time.UTC) }

func letter() message.Mail {
	return message.Mail{
		ID: 7, To: "wren@example.org", Subject: "Reminder: Cinder Gate", Key: "reminder/place-41",
		Text: "Hello Wren,\n\nbring water.\n.\nA line with one dot is above.\n", Created: created(),
		State: message.Queued,
	}
}

func sender(t *testing.T, r *receiver, change func(*message.Server)) *message.SMTP {
	t.Helper()
	s := message.Server{
		Host: "127.0.0.1", Port: r.port, Encryption: message.StartTLSIfOffered, From: "hikes@saltbush.example",
		FromName: "Cinder Hills Walkers", Timeout: 5 * time.Second, TLS: r.trust(t),
	}
	if change != nil {
		change(&s)
	}
	smtp, err := message.NewSMTP(s)
	if err != nil {
		t.Fatalf("NewSMTP: %v", err)
	}
	return smtp
}

func parse(t *testing.T, data string) *mail.Message {
	t.Helper()
	m, err := mail.ReadMessage(strings.NewReader(data))
	if err != nil {
		t.Fatalf("the receiver took no readable mail: %v\n%s", err, data)
	}
	return m
}

func only(t *testing.T, r *receiver) letterbox {
	t.Helper()
	got := r.letters()
	if len(got) != 1 {
		t.Fatalf("the receiver has taken %d mails, want 1; commands:\n%s", len(got), r.commands())
	}
	return got[0]
}

func TestSendArrives(t *testing.T) {
	r := receive(t, script{})
	m := letter()
	m.Subject = "Erinnerung: Dünenweg über den Grat"
	if err := sender(t, r, nil).Send(t.Context(), m); err != nil {
		t.Fatalf("Send: %v", err)
	}
	box := only(t, r)
	if !strings.HasPrefix(box.from, "FROM:<hikes@saltbush.example>") || box.to != "TO:<wren@example.org>" {
		t.Errorf("envelope from %q to %q", box.from, box.to)
	}
	got := parse(t, box.data)
	subject, err := new(mime.WordDecoder).DecodeHeader(got.Header.Get("Subject"))
	if err != nil || subject != m.Subject {
		t.Errorf("subject %q, %v, want %q", subject, err, m.Subject)
	}
	want := map[string]string{
		"From": `"Cinder Hills Walkers" <hikes@saltbush.example>`, "To": "<wren@example.org>",
		"Date":           "Fri, 01 May 2026 17:00:00 +0000",
		"Auto-Submitted": "auto-generated",
		"Message-Id":     "<" + message.MessageID(m.Key, "hikes@saltbush.example") + ">", "User-Agent": "",
	}
	for name, value := range want {
		if got.Header.Get(name) != value {
			t.Errorf("%s: %q, want %q", name, got.Header.Get(name), value)
		}
	}
	body, err := io.ReadAll(quotedprintable.NewReader(got.Body))
	if text := strings.ReplaceAll(string(body), "\r\n", "\n"); err != nil ||
		strings.TrimSpace(text) != strings.TrimSpace(m.Text) {
		t.Errorf("text %q, %v, want %q", text, err, m.Text)
	}
}

func TestSendCarriesAttachments(t *testing.T) {
	r := receive(t, script{})
	m := letter()
	m.Attach = []message.Attachment{{Name: "hike.ics", Type: "text/calendar; charset=utf-8",
		Bytes: []byte("BEGIN:VCALENDAR")}}
	if err := sender(t, r, nil).Send(t.Context(), m); err != nil {
		t.Fatalf("Send: %v", err)
	}
	got := parse(t, only(t, r).data)
	_, params, err := mime.ParseMediaType(got.Header.Get("Content-Type"))
	if err != nil {
		t.Fatal(err)
	}
	parts := multipart.NewReader(got.Body, params["boundary"])
	for {
		p, err := parts.NextPart()
		if err != nil {
			t.Fatalf("no part named hike.ics: %v", err)
		}
		if p.FileName() == "hike.ics" {
			if kind := p.Header.Get("Content-Type"); !strings.HasPrefix(kind, "text/calendar") {
				t.Errorf("the attachment is %q", kind)
			}
			return
		}
	}
}

func TestRetryKeepsMessageID(t *testing.T) {
	r := receive(t, script{})
	s := sender(t, r, nil)
	again, other := letter(), letter()
	again.Tries, other.Key = 3, "reminder/place-42"
	for _, m := range []message.Mail{letter(), again, other} {
		if err := s.Send(t.Context(), m); err != nil {
			t.Fatal(err)
		}
	}
	var ids []string
	for _, box := range r.letters() {
		ids = append(ids, parse(t, box.data).Header.Get("Message-Id"))
	}
	if len(ids) != 3 || ids[0] != ids[1] || ids[0] == ids[2] {
		t.Errorf("identifiers %q: want the first two alike and the third different", ids)
	}
}

func TestSendOutcomes(t *testing.T) {
	tests := []struct {
		name    string
		replies map[string]string
		taken   int
		sent    bool // Send returns nil
		refused bool // trying again is pointless
	}{
		{"taken", nil, 1, true, false},
		{"taken, then a bad answer to the goodbye", map[string]string{"QUIT": "500 what"}, 1, true, false},
		{"taken, then the line drops", map[string]string{"RSET": drop}, 1, true, false},
		{"recipient unknown", map[string]string{"RCPT": "550 5.1.1 no such mailbox"}, 0, false, true},
		{"recipient full for now", map[string]string{"RCPT": "452 4.2.2 mailbox full"}, 0, false, false},
		{"grey-listed", map[string]string{"RCPT": "451 4.7.1 try later"}, 0, false, false},
		{"text refused", map[string]string{"END": "554 5.7.1 looks unwanted"}, 0, false, true},
		{"text delayed", map[string]string{"END": "451 4.3.0 try later"}, 0, false, false},
		{"no text wanted", map[string]string{"DATA": "554 5.5.1 no"}, 0, false, true},
		{"busy from the start", map[string]string{"GREETING": "421 too busy"}, 0, false, false},
		{"closed to us, which a person may set right", map[string]string{"GREETING": "554 no service"}, 0, false,
			false},
		{"sender refused, which a person may set right", map[string]string{"MAIL": "550 5.7.1 not from you"}, 0, false,
			false},
		{"drops at the start", map[string]string{"GREETING": drop}, 0, false, false},
		{"drops after the text", map[string]string{"END": drop}, 0, false, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := receive(t, script{replies: tt.replies})
			err := sender(t, r, nil).Send(t.Context(), letter())
			if (err == nil) != tt.sent || errors.Is(err, message.ErrRefused) != tt.refused {
				t.Errorf("Send = %v, want sent %v, refused %v", err, tt.sent, tt.refused)
			}
			if n := len(r.letters()); n != tt.taken {
				t.Errorf("the receiver has taken %d mails, want %d", n, tt.taken)
			}
		})
	}
}

func TestSendGivesUpOnSilence(t *testing.T) {
	for _, at := range []string{"GREETING", "EHLO", "MAIL", "RCPT", "DATA", "END"} {
		t.Run("silent at "+at, func(t *testing.T) {
			r := receive(t, script{replies: map[string]string{at: hang}})
			s := sender(t, r, func(s *message.Server) { s.Timeout = 200 * time.Millisecond })
			start := time.Now()
			err := s.Send(t.Context(), letter())
			if !errors.Is(err, context.DeadlineExceeded) || errors.Is(err, message.ErrRefused) {
				t.Errorf("Send = %v, want the deadline", err)
			}
			if took := time.Since(start); took > 3*time.Second {
				t.Errorf("Send took %v with a timeout of 200 ms", took)
			}
		})
	}
	t.Run("until the caller stops", func(t *testing.T) {
		r := receive(t, script{replies: map[string]string{"RCPT": hang}})
		ctx, cancel := context.WithCancel(t.Context())
		time.AfterFunc(50*time.Millisecond, cancel)
		start := time.Now()
		if err := sender(t, r, nil).Send(ctx, letter()); !errors.Is(err, context.Canceled) {
			t.Errorf("Send = %v, want cancelled", err)
		}
		if took := time.Since(start); took > 3*time.Second {
			t.Errorf("Send took %v after the caller stopped", took)
		}
	})
}

func TestSendToNobodyListening(t *testing.T) {
	r := receive(t, script{})
	s := sender(t, r, func(s *message.Server) { s.Port = 1 }) // nothing listens there
	if err := s.Send(t.Context(), letter()); err == nil || errors.Is(err, message.ErrRefused) {
		t.Errorf("Send = %v, want an error worth another try", err)
	}
}

func TestEncryption(t *testing.T) {
	tests := []struct {
		name      string
		kind      message.Encryption
		script    script
		distrust  bool
		sent      bool
		encrypted bool
	}{
		{"used when offered", message.StartTLSIfOffered, script{starttls: true}, false, true, true},
		{"in the clear when not offered", message.StartTLSIfOffered, script{}, false, true, false},
		{"required and offered", message.StartTLSRequired, script{starttls: true}, false, true, true},
		{"required and not offered", message.StartTLSRequired, script{}, false, false, false},
		{"a strange certificate is refused", message.StartTLSRequired, script{starttls: true}, true, false, false},
		{"a strange certificate is refused even if optional",
			message.StartTLSIfOffered, script{starttls: true}, true, false, false},
		{"from the start", message.TLSFromTheStart, script{implicit: true}, false, true, true},
		{"from the start, strange certificate", message.TLSFromTheStart, script{implicit: true}, true, false, false},
		{"none although offered", message.InTheClear, script{starttls: true}, false, true, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := receive(t, tt.script)
			s := sender(t, r, func(s *message.Server) {
				s.Encryption = tt.kind
				if tt.distrust {
					s.TLS = nil
				}
			})
			err := s.Send(t.Context(), letter())
			if (err == nil) != tt.sent || errors.Is(err, message.ErrRefused) {
				t.Fatalf("Send = %v, want sent %v and never refused for good", err, tt.sent)
			}
			if !tt.sent {
				if got := r.commands(); len(r.letters()) > 0 || strings.Contains(got, "RCPT") {
					t.Errorf("the recipient was told without the encryption asked for:\n%s", got)
				}
				return
			}
			if got := only(t, r).encrypted; got != tt.encrypted {
				t.Errorf("encrypted %v, want %v", got, tt.encrypted)
			}
		})
	}
}

func TestSignIn(t *testing.T) {
	for _, tt := range []struct {
		name   string
		kind   message.Encryption
		script script
	}{
		{"after STARTTLS", message.StartTLSRequired, script{starttls: true, auth: true}},
		{"within TLS", message.TLSFromTheStart, script{implicit: true, auth: true}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := receive(t, tt.script)
			s := sender(t, r, func(s *message.Server) {
				s.Encryption, s.Username, s.Password = tt.kind, "hikes", "secret words"
			})
			if err := s.Send(t.Context(), letter()); err != nil {
				t.Fatalf("Send: %v", err)
			}
			if box := only(t, r); !strings.HasPrefix(box.user, "PLAIN ") {
				t.Errorf("signed in with %q", box.user)
			}
		})
	}
	t.Run("refused is worth another try and keeps the password quiet", func(t *testing.T) {
		r := receive(t, script{starttls: true, auth: true, replies: map[string]string{"AUTH": "535 5.7.8 wrong"}})
		s := sender(t, r, func(s *message.Server) { s.Username, s.Password = "hikes", "secret words" })
		err := s.Send(t.Context(), letter())
		if err == nil || errors.Is(err, message.ErrRefused) || strings.Contains(err.Error(), "secret words") {
			t.Errorf("Send = %v", err)
		}
	})
}

func TestNewSMTPRefusesSettings(t *testing.T) {
	tests := []struct {
		name   string
		change func(*message.Server)
		want   string
	}{
		{"no host", func(s *message.Server) { s.Host = "" }, "no host"},
		{"port 0", func(s *message.Server) { s.Port = 0 }, "port 0"},
		{"no from", func(s *message.Server) { s.From = "" }, "from address"},
		{"line break in the from name", func(s *message.Server) { s.FromName = "A\r\nBcc: b@example.org" },
			"line break"},
		{"no timeout", func(s *message.Server) { s.Timeout = 0 }, "no timeout"},
		{"no encryption named", func(s *message.Server) { s.Encryption = "" }, "kind of encryption"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := message.Server{Host: "mail.example.org", Port: 587, Encryption: message.StartTLSRequired,
				From: "a@example.org", Timeout: time.Second}
			tt.change(&s)
			if _, err := message.NewSMTP(s); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("NewSMTP = %v, want %q", err, tt.want)
			}
		})
	}
}

func TestNothingIsInjected(t *testing.T) {
	r := receive(t, script{})
	s := sender(t, r, nil)
	for field, change := range map[string]func(*message.Mail, string){
		"to":      func(m *message.Mail, bad string) { m.To += bad },
		"subject": func(m *message.Mail, bad string) { m.Subject += bad },
		"key":     func(m *message.Mail, bad string) { m.Key += bad },
		"attachment name": func(m *message.Mail, bad string) {
			m.Attach = []message.Attachment{{Name: "a" + bad, Type: "text/plain"}}
		},
		"attachment type": func(m *message.Mail, bad string) {
			m.Attach = []message.Attachment{{Name: "a", Type: "text/plain" + bad}}
		},
	} {
		for _, bad := range []string{"\r\nBcc: all@example.org",
			"\nBcc: all@example.org", "\rBcc: x", "\x00", "\u0085x", "\u2028x"} {
			t.Run(field, func(t *testing.T) {
				m := letter()
				change(&m, bad)
				err := s.Send(t.Context(), m)
				var fault *message.FieldError
				if !errors.Is(err, message.ErrLineBreak) || !errors.Is(err, message.ErrRefused) ||
					!errors.As(err, &fault) || fault.Field != field {
					t.Errorf("Send with %q in %s = %v", bad, field, err)
				}
			})
		}
	}
	if got := r.commands(); got != "" {
		t.Errorf("the receiver was talked to:\n%s", got)
	}
}

// Mail with a topic, and no other, has the unsubscribe headers of RFC 2369 and RFC 8058.
func TestStoppableMailSaysWhere(t *testing.T) {
	const at = "https://hikes.example.org/mail/aaaabbbbccccddddeeeeffffgggghhhh"
	tests := []struct {
		name       string
		mail       message.Mail
		list, post string
	}{
		{"by https", letter().Stoppable(message.Eve, at), "<" + at + ">", "List-Unsubscribe=One-Click"},
		{"in the clear, where one press must not be offered",
			letter().Stoppable(message.Eve, "http://127.0.0.1:8080/mail/aaaa"), "<http://127.0.0.1:8080/mail/aaaa>",
			""},
		{"what cannot be stopped", letter(), "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := receive(t, script{})
			if err := sender(t, r, nil).Send(t.Context(), tt.mail); err != nil {
				t.Fatal(err)
			}
			head := parse(t, only(t, r).data).Header
			if head.Get("List-Unsubscribe") != tt.list || head.Get("List-Unsubscribe-Post") != tt.post {
				t.Errorf("%q and %q, want %q and %q", head.Get("List-Unsubscribe"), head.Get("List-Unsubscribe-Post"),
					tt.list, tt.post)
			}
			if told := strings.Contains(tt.mail.Text, tt.mail.StopAt); !told {
				t.Error("the text does not say where to stop it")
			}
		})
	}
}

func TestAlarmsCannotBeStopped(t *testing.T) {
	for _, c := range []message.Channel{message.ByAlarm, message.ByPush, message.ByHook} {
		m := letter().Stoppable(message.Eve, "https://hikes.example.org/mail/a")
		m.Channel = c
		var fault *message.FieldError
		if err := m.Check(); !errors.As(err, &fault) || fault.Field != "topic" {
			t.Errorf("by %s: %v, want the topic refused", c, err)
		}
	}
	if err := letter().Stoppable(message.Eve, "https://hikes.example.org/mail/a").Check(); err != nil {
		t.Errorf("by mail: %v", err)
	}
}
