package calendar_test

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"
	"pgregory.net/rapid"

	"saltbush/internal/calendar"
	"saltbush/internal/unit"
)

func zoneOf(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func event(start time.Time) calendar.Event {
	return calendar.Event{UID: "place-41@hikes.example", Sequence: 2, Stamp: start.Add(-48 * time.Hour), Start: start,
		End:     start.Add(5 * time.Hour),
		Summary: "Quail Wash at first light", Location: "Cinder Gate", At: unit.At(33.4512, -112.074),
		Status:    calendar.Confirmed,
		Organizer: calendar.Person{Name: "Tarrow Basin", Email: "hikes@example.org"},
		Attendee:  calendar.Person{Name: "Wren \"W\" Abara", Email: "wren@example.org"}}
}

// decode reads a file with an independent parser.
func decode(t interface{ Fatalf(string, ...any) }, file []byte) *ical.Calendar {
	cal, err := ical.NewDecoder(bytes.NewReader(file)).Decode()
	if err != nil {
		t.Fatalf("read back: %v\n%s", err, file)
	}
	return cal
}

// instant computes a time from the file alone: the wall clock of the property and the offset
// of the last observance of the VTIMEZONE before it.
func instant(t testing.TB, cal *ical.Calendar, p *ical.Prop) time.Time {
	t.Helper()
	if strings.HasSuffix(p.Value, "Z") {
		at, err := time.Parse("20060102T150405Z", p.Value)
		if err != nil {
			t.Fatal(err)
		}
		return at
	}
	zone := timezone(t, cal, p.Params.Get("TZID"))
	wall := wallClock(t, p.Value)
	var latest time.Time
	var east time.Duration
	for _, o := range zone.Children {
		from := wallClock(t, o.Props.Get("DTSTART").Value)
		if !from.After(wall) && !from.Before(latest) {
			latest, east = from, offset(t, o.Props.Get("TZOFFSETTO").Value)
		}
	}
	if latest.IsZero() {
		t.Fatalf("%s: no observance before it", p.Value)
	}
	return wall.Add(-east)
}

func timezone(t testing.TB, cal *ical.Calendar, id string) *ical.Component {
	t.Helper()
	for _, c := range cal.Children {
		if c.Name == "VTIMEZONE" && c.Props.Get("TZID").Value == id {
			return c
		}
	}
	t.Fatalf("no VTIMEZONE %q", id)
	return nil
}

func wallClock(t testing.TB, s string) time.Time {
	t.Helper()
	at, err := time.Parse("20060102T150405", s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func offset(t testing.TB, s string) time.Duration {
	t.Helper()
	at, err := time.Parse("-0700", s)
	if err != nil {
		t.Fatal(err)
	}
	_, east := at.Zone()
	return time.Duration(east) * time.Second
}

// The UTC times are worked out by hand. US clocks go forward on 8 March and back on 1 November
// 2026 at 02:00, except in Arizona (US Energy Policy Act of 2005, section 110; Uniform Time
// Act exemption of Arizona, 1968). Lord Howe shifts by 30 minutes.
func TestInstantsReadBack(t *testing.T) {
	tests := []struct {
		name, zone string
		wall, utc  string
	}{
		{"the day before clocks go forward", "America/Denver", "20260307T060000", "2026-03-07T13:00:00Z"},
		{"the day they go forward", "America/Denver", "20260308T060000", "2026-03-08T12:00:00Z"},
		{"just before they go forward", "America/Denver", "20260308T013000", "2026-03-08T08:30:00Z"},
		{"the day before they go back", "America/Denver", "20261031T060000", "2026-10-31T12:00:00Z"},
		{"the day they go back", "America/Denver", "20261101T060000", "2026-11-01T13:00:00Z"},
		{"the repeated hour, the first time", "America/Denver", "20261101T013000", "2026-11-01T07:30:00Z"},
		{"the repeated hour, the second time", "America/Denver", "20261101T013000", "2026-11-01T08:30:00Z"},
		{"Arizona in March", "America/Phoenix", "20260308T060000", "2026-03-08T13:00:00Z"},
		{"Arizona in July", "America/Phoenix", "20260701T060000", "2026-07-01T13:00:00Z"},
		{"half an hour of summer", "Australia/Lord_Howe", "20260405T060000", "2026-04-04T19:30:00Z"},
		{"three quarters of an hour", "Asia/Kathmandu", "20260405T060000", "2026-04-05T00:15:00Z"},
		{"UTC", "UTC", "20260405T060000", "2026-04-05T06:00:00Z"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			want, err := time.Parse(time.RFC3339, tt.utc)
			if err != nil {
				t.Fatal(err)
			}
			start := want.In(zoneOf(t, tt.zone))
			if got := start.Format("20060102T150405"); got != tt.wall {
				t.Fatalf("the row is wrong: %s is %s there", tt.utc, got)
			}
			e := event(start)
			cal := decode(t, calendar.Calendar{Method: calendar.Request, Events: []calendar.Event{e}}.Bytes())
			back := cal.Events()[0]
			if got := instant(t, cal, back.Props.Get("DTSTART")); !got.Equal(want) {
				t.Errorf("DTSTART is %s, want %s", got, want)
			}
			if got := instant(t, cal, back.Props.Get("DTEND")); !got.Equal(e.End) {
				t.Errorf("DTEND is %s, want %s", got, e.End)
			}
		})
	}
}

// One file with hikes on both sides of two clock changes describes both.
func TestOneFileOverAYear(t *testing.T) {
	denver := zoneOf(t, "America/Denver")
	c := calendar.Calendar{Name: "Hikes", Method: calendar.Publish}
	for month := time.January; month <= time.December; month++ {
		c.Events = append(c.Events, event(time.Date(2026, month, 15, 6, 0, 0, 0, denver)))
	}
	cal := decode(t, c.Bytes())
	for i, back := range cal.Events() {
		if got := instant(t, cal, back.Props.Get("DTSTART")); !got.Equal(c.Events[i].Start) {
			t.Errorf("event %d begins %s, want %s", i, got, c.Events[i].Start)
		}
		if back.Props.Get("ORGANIZER") != nil {
			t.Errorf("event %d of a public list names an organizer", i)
		}
	}
	kinds := map[string]int{}
	for _, o := range timezone(t, cal, "America/Denver").Children {
		kinds[o.Name]++
	}
	if kinds["STANDARD"] < 2 || kinds["DAYLIGHT"] < 1 {
		t.Errorf("observances %v", kinds)
	}
}

func TestInvitation(t *testing.T) {
	e := event(time.Date(2026, 5, 10, 6, 0, 0, 0, zoneOf(t, "America/Phoenix")))
	e.URL = "https://hikes.example/place/abc"
	for _, m := range []calendar.Method{calendar.Request, calendar.Cancel} {
		t.Run(string(m), func(t *testing.T) {
			cal := decode(t, calendar.Calendar{Method: m, Events: []calendar.Event{e}}.Bytes())
			if got := cal.Props.Get("METHOD").Value; got != string(m) {
				t.Errorf("METHOD %q", got)
			}
			p := cal.Events()[0].Props
			for name, want := range map[string]string{"UID": e.UID, "SEQUENCE": "2", "DTSTAMP": "20260508T130000Z",
				"STATUS": "CONFIRMED",
				"GEO":    "33.451200;-112.074000", "ORGANIZER": "mailto:hikes@example.org",
				"ATTENDEE": "mailto:wren@example.org", "URL": e.URL} {
				if got := p.Get(name); got == nil || got.Value != want {
					t.Errorf("%s is %v, want %q", name, got, want)
				}
			}
		})
	}
}

func TestUnknownEndIsLeftOut(t *testing.T) {
	e := event(time.Date(2026, 5, 10, 6, 0, 0, 0, time.UTC))
	e.End = time.Time{}
	cal := decode(t, calendar.Calendar{Method: calendar.Publish, Events: []calendar.Event{e}}.Bytes())
	if p := cal.Events()[0].Props.Get("DTEND"); p != nil {
		t.Errorf("DTEND %v", p)
	}
}

func TestDigest(t *testing.T) {
	base := event(time.Date(2026, 5, 10, 6, 0, 0, 0, time.UTC))
	tests := []struct {
		name   string
		change func(*calendar.Event)
		want   bool
	}{
		{"start", func(e *calendar.Event) { e.Start = e.Start.Add(time.Minute) }, true},
		{"end", func(e *calendar.Event) { e.End = e.End.Add(time.Minute) }, true},
		{"no end", func(e *calendar.Event) { e.End = time.Time{} }, true},
		{"title", func(e *calendar.Event) { e.Summary += "!" }, true},
		{"place", func(e *calendar.Event) { e.Location += "!" }, true},
		{"pin", func(e *calendar.Event) { e.At = unit.At(33.5, -112) }, true},
		{"canceled", func(e *calendar.Event) { e.Status = calendar.Cancelled }, true},
		{"number and stamp", func(e *calendar.Event) { e.Sequence, e.Stamp = 9, time.Time{} }, false},
		{"address", func(e *calendar.Event) { e.URL = "https://hikes.example/x" }, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := base
			tt.change(&e)
			if got := e.Digest() != base.Digest(); got != tt.want {
				t.Errorf("changed %v, want %v", got, tt.want)
			}
		})
	}
}

// Any text is read back, from lines of at most 75 octets that break between runes.
func TestTextReadsBack(t *testing.T) {
	odd := rapid.StringOf(rapid.OneOf(rapid.SampledFrom([]rune("\\;,:\n\r\t\"^'=ab \u00e9\u6c34\U0001f335")),
		rapid.Rune()))
	rapid.Check(t, func(t *rapid.T) {
		e := event(time.Date(2026, 5, 10, 6, 0, 0, 0, time.UTC))
		e.Summary, e.Description, e.Location = odd.Draw(t, "summary"), odd.Draw(t, "description"),
			odd.Draw(t, "location")
		e.Attendee.Name, e.URL = odd.Draw(t, "name"), odd.Draw(t, "url")
		file := calendar.Calendar{Name: e.Summary, Method: calendar.Request, Events: []calendar.Event{e}}.Bytes()
		checkLines(t, file)
		cal := decode(t, file)
		if n := len(cal.Events()); n != 1 {
			t.Fatalf("%d events", n)
		}
		got, err := cal.Events()[0].Props.Text("SUMMARY")
		if err != nil || got != plain(e.Summary) {
			t.Fatalf("summary %q comes back as %q, %v", e.Summary, got, err)
		}
		if d := cal.Events()[0].Props.Get("DESCRIPTION"); d != nil {
			if got, err := d.Text(); err != nil || got != plain(e.Description) {
				t.Fatalf("description %q comes back as %q, %v", e.Description, got, err)
			}
		}
	})
}

// plain is a text after the round trip: one kind of line end, no control characters.
func plain(s string) string {
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(s)
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 {
			return -1
		}
		return r
	}, s)
}

func checkLines(t interface{ Fatalf(string, ...any) }, file []byte) {
	if !bytes.HasSuffix(file, []byte("\r\n")) {
		t.Fatalf("no line end at the end")
	}
	for line := range strings.SplitSeq(strings.TrimSuffix(string(file), "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") || !utf8.ValidString(line) {
			t.Fatalf("bad line of %d octets: %q", len(line), line)
		}
	}
}

func TestCard(t *testing.T) {
	c := calendar.Card{UID: "urn:uuid:1b4e28ba-2fa1-11d2-883f-0016d3cca427", Name: "Oren; Vale, of the ridge",
		Organization: "Tarrow Basin", Title: "On call",
		Phone: "+1 (555) 010-0142", At: unit.At(33.4512, -112.074),
		Note: "Meet 06:00\nCinder Gate. " + strings.Repeat("\u6c34", 60)}
	file := c.Bytes()
	checkLines(t, file)
	unfolded := strings.ReplaceAll(string(file), "\r\n ", "")
	for _, want := range []string{"BEGIN:VCARD\r\nVERSION:4.0\r\n", "FN:Oren\\; Vale\\, of the ridge\r\n",
		"TEL;VALUE=uri;TYPE=voice:tel:+15550100142\r\n",
		"GEO:geo:33.451200,-112.074000\r\n", "NOTE:Meet 06:00\\nCinder Gate. "} {
		if !strings.Contains(unfolded, want) {
			t.Errorf("no %q in\n%s", want, unfolded)
		}
	}
	c.Phone = ""
	if strings.Contains(string(c.Bytes()), "TEL") {
		t.Error("a card without a number has a TEL line")
	}
}

func FuzzNoLineInjection(f *testing.F) {
	f.Add("a\r\nATTACH:x")
	f.Fuzz(func(t *testing.T, s string) {
		e := event(time.Date(2026, 5, 10, 6, 0, 0, 0, time.UTC))
		e.UID, e.URL, e.Organizer.Name, e.Organizer.Email = s, s, s, s
		file := calendar.Calendar{Method: calendar.Cancel, Events: []calendar.Event{e}}.Bytes()
		if bytes.Contains(bytes.ReplaceAll(file, []byte("\r\n "), nil), []byte("\nATTACH")) {
			t.Errorf("%q injects a line", s)
		}
	})
}
