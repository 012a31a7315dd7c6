package message_test

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"testing"
	"time"

	"saltbush/internal/message"
)

func alarm() message.Watch {
	return message.Watch{
		Ref: "watch/12/watch/1/ab12", To: "rosa@example.org", Name: "Rosa Lind", Hike: "Cinder Gate and back",
		Day:   "Saturday 2 May 2026",
		Group: "Cinder Hills Walkers", Step: "start asking", At: "Sat 2 May, 11:21",
		Do:  "First press \"I have it\". Call and text the leader.",
		Why: []string{"a minor is in the group"}, Times: [][2]string{{"Watch time", "11:21"}, {"Call time", "11:51"}},
		Out: []string{"Wren Abara: Notch Junction, 09:40"}, Calls: [][2]string{{"Leader Marisol", "555 010 0119"}},
		Link: "https://hikes.example/watch/abcdefghijklmnopqrstuvwxyz234567", Made: "Sat 2 May, 11:21",
	}
}

func TestAlarmSaysWhatToDoFirst(t *testing.T) {
	w := alarm()
	w.Late, w.About, w.By = "This comes 42 min late.", "Ben Example is missing", "11:51"
	m, err := message.Alarm(w)
	if err != nil {
		t.Fatal(err)
	}
	if m.Channel != message.ByAlarm || m.Subject != "START ASKING: Cinder Gate and back" ||
		m.Key != "watch/12/watch/1/ab12/alarm" {
		t.Errorf("channel %q, subject %q, key %q", m.Channel, m.Subject, m.Key)
	}
	if !strings.HasPrefix(m.Text, w.Late) {
		t.Errorf("the mail begins with %q, want what makes it urgent", strings.SplitN(m.Text, "\n", 2)[0])
	}
	w.Late = ""
	if now, err := message.Alarm(w); err != nil || !strings.HasPrefix(now.Text, "First press") {
		t.Errorf("on time the mail begins with %q (%v), want what to do", strings.SplitN(now.Text, "\n", 2)[0], err)
	}
	inOrder(t, m.Text, "42 min late", "First press \"I have it\"", "Ben Example is missing.", "Call for help at 11:51",
		"Leader Marisol: 555 010 0119", "START ASKING, due Sat 2 May, 11:21", w.Link, "minor", "Call time: 11:51",
		"Wren Abara: Notch Junction, 09:40", "Written Sat 2 May, 11:21",
		"Cinder Hills Walkers", "emergency number")
}

func TestCardListsWhatToDoWhen(t *testing.T) {
	steps := []string{"11:21, start asking (on-call): call the leader.", "11:51, call for help (on-call): call."}
	m, err := message.Card(alarm(), steps)
	if err != nil {
		t.Fatal(err)
	}
	inOrder(t, m.Text, "Watch card", "times stand even if you hear nothing",
		"11:21, start asking", "11:51, call for help", "Wren Abara", "Leader Marisol: 555 010 0119")
}

func TestTextIsShortAndGoesToAPhone(t *testing.T) {
	w := alarm()
	w.To = "(928) 555 0101"
	m, err := message.Text(w)
	if err != nil || m.Channel != message.ByHook || strings.Contains(m.Text, "\n") {
		t.Fatalf("%+v, %v", m, err)
	}
	inOrder(t, m.Text, "START ASKING: Cinder Gate and back", "555 010 0119", "Answer: "+w.Link)
}

func TestWatchMessagesAreRefusedWhole(t *testing.T) {
	for name, spoil := range map[string]func(*message.Watch){
		"no reference":            func(w *message.Watch) { w.Ref = "" },
		"line break in the title": func(w *message.Watch) { w.Hike = "a\nBcc: x" },
		"no address":              func(w *message.Watch) { w.To = "" },
		"two links in one":        func(w *message.Watch) { w.Link += " x" },
	} {
		t.Run(name, func(t *testing.T) {
			w := alarm()
			spoil(&w)
			if _, err := message.Alarm(w); err == nil {
				t.Error("accepted")
			}
		})
	}
}

func inOrder(t *testing.T, text string, parts ...string) {
	t.Helper()
	flat, from := strings.Join(strings.Fields(text), " "), 0
	for _, p := range parts {
		i := strings.Index(flat[from:], p)
		if i < 0 {
			t.Fatalf("%q is not there, or not in its order:\n%s", p, text)
		}
		from += i
	}
}

// The value was computed with another program: openssl dgst -sha256 -hmac.
func TestSignHookAgainstAnotherProgram(t *testing.T) {
	const want = "v1=c2a2584422e200fd72a6d2937a3971d33c55d73572336f57c9ebe4dd1016a458"
	if got := message.SignHook([]byte("sixteen letters!"), "1700000000", []byte(`{"key":"watch/1"}`)); got != want {
		t.Errorf("signature %s, want %s", got, want)
	}
}

// answers is a gateway that always gives the same answer.
type answers struct {
	status  int
	err     error
	headers map[string]string
}

func (a *answers) Post(_ context.Context, _ string, headers map[string]string, _ []byte) (int, error) {
	a.headers = headers
	return a.status, a.err
}

func TestHookTriesAgainUnlessTheAddressIsGone(t *testing.T) {
	text, err := message.Text(alarm())
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name          string
		gateway       answers
		sent, refused bool
	}{
		{"taken", answers{status: http.StatusAccepted}, true, false},
		{"server fault", answers{status: http.StatusInternalServerError}, false, false},
		{"wrong secret", answers{status: http.StatusUnauthorized}, false, false},
		{"moved", answers{status: http.StatusFound}, false, false},
		{"no answer", answers{err: errors.New("connection reset")}, false, false},
		{"gone", answers{status: http.StatusGone}, false, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			hook, err := message.NewHook("https://gateway.example/in",
				"sixteen letters!", func() time.Time { return time.Unix(1700000000, 0) }, &tt.gateway)
			if err != nil {
				t.Fatal(err)
			}
			err = hook.Send(context.Background(), text)
			if (err == nil) != tt.sent || errors.Is(err, message.ErrRefused) != tt.refused {
				t.Errorf("got %v", err)
			}
			if tt.gateway.headers[message.HookKey] != text.Key || tt.gateway.headers[message.HookTime] != "1700000000" {
				t.Errorf("headers %v", tt.gateway.headers)
			}
		})
	}
}

func TestHookWantsAnAddressAndASecret(t *testing.T) {
	for name, args := range map[string][2]string{"no scheme": {"gateway.example", "sixteen letters!"},
		"short secret": {"https://gateway.example", "short"}} {
		if _, err := message.NewHook(args[0], args[1], time.Now, &answers{}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}
