package message_test

import (
	"bufio"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"saltbush/internal/caution"
	"saltbush/internal/message"
)

func place() message.Place {
	return message.Place{
		Ref: "place-41", To: "wren@example.org", Name: "Wren Abara", Hike: "Cinder Gate and back",
		Day:   "Saturday 2 May 2026",
		Group: "Cinder Hills Walkers", Meet: "5:40 am at the Cinder Gate trailhead",
		Finish: "between 10:10 and 11:30 am",
		Leader: "Marisol", Contact: "answer this mail",
		Link:      "https://hikes.example/place/abcdefghijklmnopqrstuvwxyz234567abcdefghijklmnopqrstuvwxyz",
		UselessAt: time.Date(2026, 5, 2, 12, 40, 0, 0, time.UTC),
	}
}

func reminder() message.Reminder {
	return message.Reminder{
		Edition: "plan-3", Water: "3.5 L (three bottles of 1 L and one of 0.5 L)", Food: "600 kcal in small pieces",
		Weather: "34 degrees by 10 am, clear, light wind", TurnBack: "8:10 am, wherever we are",
		Bring: []string{"a hat with a brim", "a head torch"}, Refused: []string{"with less than 3 L of water"},
	}
}

// composed holds one mail of each kind.
func composed(t *testing.T, p message.Place) map[string]message.Mail {
	t.Helper()
	out := map[string]message.Mail{}
	keep := func(kind string) func(message.Mail, error) {
		return func(m message.Mail, err error) {
			t.Helper()
			if err != nil {
				t.Fatalf("%s: %v", kind, err)
			}
			out[kind] = m
		}
	}
	keep("confirmed")(message.Confirmed(p))
	keep("waiting")(message.Waiting(p, "2 people are before you"))
	keep("promoted")(message.Promoted(p, "Friday 1 May at 6 pm"))
	keep("withdrawn")(message.Withdrawn(p))
	keep("called off")(message.Decided(p, message.Decision{Edition: "7-1",
		What:    "It is called off. Please do not come to the trailhead",
		Because: "The heat is above our limit for this trail", Ends: true}))
	keep("decided")(message.Decided(p, message.Decision{Edition: "7-2", What: "It goes, earlier: meet at 05:30"}))
	keep("decided, again")(message.Decided(p, message.Decision{Edition: "7-2", What: "It goes, earlier: meet at 05:30",
		Again: true}))
	keep("harder trail")(message.Decided(p, message.Decision{Edition: "7-3", What: "It goes on another trail",
		Consent: true}))
	keep("reminder")(message.Remind(p, reminder()))
	return out
}

func TestEveryMailIsComplete(t *testing.T) {
	keys := map[string]string{}
	for kind, m := range composed(t, place()) {
		t.Run(kind, func(t *testing.T) {
			p := place()
			if m.To != p.To || !m.UselessAt.Equal(p.UselessAt) || m.State != message.Queued || m.Check() != nil {
				t.Errorf("mail %+v: %v", m, m.Check())
			}
			if !strings.Contains(m.Subject, p.Hike) || !strings.Contains(m.Subject, p.Day) {
				t.Errorf("subject %q", m.Subject)
			}
			flat := strings.Join(strings.Fields(m.Text), " ")
			for _, want := range append([]string{"Hello Wren Abara,", p.Hike, p.Day, p.Meet, p.Group, p.Contact},
				caution.All()...) {
				if !strings.Contains(flat, want) {
					t.Errorf("%q is missing in:\n%s", want, m.Text)
				}
			}
			if other, taken := keys[m.Key]; taken {
				t.Errorf("%s and %s have the key %q", kind, other, m.Key)
			}
			keys[m.Key] = kind
		})
	}
}

func TestLinesFit(t *testing.T) {
	for kind, m := range composed(t, place()) {
		for line := range strings.Lines(m.Text) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 72 &&
				!strings.Contains(line, "https://") {
				t.Errorf("%s: a line of %d characters: %q", kind, n, line)
			}
		}
		if strings.Contains(m.Text, "\n\n\n") || strings.Count(m.Text, " \n") != strings.Count(m.Text, "\n-- \n") {
			t.Errorf("%s: gaps in:\n%s", kind, m.Text)
		}
	}
}

func TestLinkStaysWhole(t *testing.T) {
	p := place()
	for _, kind := range []string{"confirmed", "waiting", "promoted", "reminder"} {
		if m := composed(t, p)[kind]; !strings.Contains(m.Text, "\n"+p.Link+"\n") {
			t.Errorf("%s: no line holds the link alone:\n%s", kind, m.Text)
		}
	}
}

func TestWhatEachMailSays(t *testing.T) {
	for kind, wants := range map[string][]string{
		"confirmed":  {"You have a place"},
		"waiting":    {"you do not have a place yet", "2 people are before you."},
		"promoted":   {"it is yours", "withdraw by Friday 1 May at 6 pm. Others"},
		"withdrawn":  {"You have withdrawn"},
		"called off": {"called off. Please do not come", "Why: The heat is above our limit for this trail."},
		"reminder": {"Water to bring: 3.5 L (three bottles of 1 L and one of 0.5 L)", "Food to bring: 600 kcal",
			"We turn back at: 8:10 am",
			"- a hat with a brim", "Nobody starts: - with less than 3 L of water"},
	} {
		flat := strings.Join(strings.Fields(composed(t, place())[kind].Text), " ")
		for _, want := range wants {
			if !strings.Contains(flat, want) {
				t.Errorf("%s does not say %q:\n%s", kind, want, flat)
			}
		}
	}
}

func TestChangedPlanIsAnotherMail(t *testing.T) {
	first, err := message.Remind(place(), reminder())
	if err != nil {
		t.Fatal(err)
	}
	r := reminder()
	r.Edition, r.Changed = "plan-4", "we meet half an hour earlier"
	second, err := message.Remind(place(), r)
	if err != nil {
		t.Fatal(err)
	}
	if first.Key == second.Key {
		t.Errorf("both have the key %q: the second would never leave", first.Key)
	}
	if !strings.HasPrefix(second.Subject, "Changed: ") || !strings.Contains(second.Text, "half an hour earlier.") {
		t.Errorf("subject %q, text:\n%s", second.Subject, second.Text)
	}
}

func TestOptionalLinesLeaveNoTrace(t *testing.T) {
	p := message.Place{Ref: "place-1", To: "wren@example.org", Name: "Wren", Hike: "Gate", Day: "Sunday",
		Group: "Walkers"}
	m, err := message.Confirmed(p)
	if err != nil {
		t.Fatal(err)
	}
	letter, _, _ := strings.Cut(m.Text, "-- \n")
	want := "Hello Wren,\n\nYou have a place on this hike.\n\nHike: Gate\nDay: Sunday\n\nWalkers\n\n"
	if diff := cmp.Diff(want, letter); diff != "" {
		t.Error(diff)
	}
}

func TestComposersRefuse(t *testing.T) {
	tests := []struct {
		name, field string
		change      func(*message.Place)
		want        error
	}{
		{"a line break in the hike", "hike", func(p *message.Place) { p.Hike += "\r\nBcc: all@example.org" },
			message.ErrLineBreak},
		{"a line break in the day", "day", func(p *message.Place) { p.Day += "\nx" }, message.ErrLineBreak},
		{"a line break in the name", "name", func(p *message.Place) { p.Name += "\n\nYour place costs 50" },
			message.ErrLineBreak},
		{"a line break in the address", "to", func(p *message.Place) { p.To += "\nx" }, message.ErrLineBreak},
		{"a line break in the reference", "reference", func(p *message.Place) { p.Ref += "\nx" }, message.ErrLineBreak},
		{"a line break in the link", "link", func(p *message.Place) { p.Link += "\nx" }, message.ErrLineBreak},
		{"no name", "name", func(p *message.Place) { p.Name = "" }, message.ErrEmpty},
		{"no reference", "reference", func(p *message.Place) { p.Ref = "" }, message.ErrEmpty},
		{"no address", "to", func(p *message.Place) { p.To = "" }, message.ErrEmpty},
		{"no group", "group", func(p *message.Place) { p.Group = " " }, message.ErrEmpty},
		{"bytes in a fact", "text", func(p *message.Place) { p.Meet = "5 am\xff" }, message.ErrNotText},
		{"a bell in a fact", "text", func(p *message.Place) { p.Meet = "5 am\a" }, message.ErrLineBreak},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := place()
			tt.change(&p)
			_, err := message.Confirmed(p)
			var fault *message.FieldError
			if !errors.Is(err, tt.want) || !errors.As(err, &fault) || fault.Field != tt.field {
				t.Errorf("Confirmed = %v, want %q %v", err, tt.field, tt.want)
			}
		})
	}
	t.Run("no reason for calling off", func(t *testing.T) {
		off := message.Decision{Edition: "7", What: "It is called off", Because: " ", Ends: true}
		if _, err := message.Decided(place(), off); !errors.Is(err, message.ErrEmpty) {
			t.Errorf("Decided = %v", err)
		}
	})
	t.Run("no link to answer with", func(t *testing.T) {
		p := place()
		p.Link = ""
		_, err := message.Decided(p, message.Decision{Edition: "7", What: "It goes"})
		if !errors.Is(err, message.ErrEmpty) {
			t.Errorf("Decided = %v", err)
		}
	})
	t.Run("no edition of a reminder", func(t *testing.T) {
		if _, err := message.Remind(place(), message.Reminder{}); !errors.Is(err, message.ErrEmpty) {
			t.Errorf("Remind = %v", err)
		}
	})
}

// The cautions match the trade notes word for word, in their order.
func TestCautionsAreThoseOfTheNotes(t *testing.T) {
	f, err := os.Open(notes(t))
	if err != nil {
		t.Skip("the trade notes are not beside this repository")
	}
	defer f.Close()
	var want []string
	inside := false
	for lines := bufio.NewScanner(f); lines.Scan(); {
		point, isPoint := strings.CutPrefix(lines.Text(), "- ")
		switch {
		case strings.HasPrefix(lines.Text(), "**Cautions to print**"):
			inside = true
		case inside && isPoint:
			want = append(want, point)
		default:
			inside = false
		}
	}
	if diff := cmp.Diff(want, caution.All()); diff != "" || len(want) == 0 {
		t.Errorf("%d cautions in the notes:\n%s", len(want), diff)
	}
}

// notes is the path of the trade notes, found from the folder of go.mod.
func notes(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.Join(dir, "..", "shared", "practice.md")
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
}

func part() message.StaffLetter {
	return message.StaffLetter{Ref: "12-a", To: "ash@example.org", Name: "Ash Moreno", Hike: "Dry Fork at dawn",
		Day:   "Sunday 14 March 2027",
		Group: "Dry Country Walkers", Role: "sweep", Meet: "06:30", Trail: "Dry Fork", By: "Ines Calder",
		Link: "https://hikes.example.org/asked/abc"}
}

func TestStaffMail(t *testing.T) {
	tests := []struct {
		name string
		make func(message.StaffLetter) (message.Mail, error)
		key  string
		want []string
	}{
		{"asked", message.Ask, "asked/12-a", []string{"Ines Calder asks", "Part: sweep",
			"https://hikes.example.org/asked/abc", "Until you say yes, nobody counts"}},
		{"declined",
			func(p message.StaffLetter) (message.Mail, error) {
				return message.Declined(p, "Rosa Lind", "away that week")
			},
			"declined/12-a",
			[]string{"Rosa Lind cannot be sweep", "away that week."}},
		{"a paper ends", func(p message.StaffLetter) (message.Mail, error) {
			return message.PaperEnds(message.Certificate{
				Ref: p.Ref, To: p.To, Name: p.Name, Group: p.Group, Of: "CPR of Ash Moreno",
				Says: "Your CPR is valid through 14 Mar 2027.", Link: p.Link,
			})
		}, "paper/12-a", []string{"Your CPR is valid through 14 Mar 2027.", "counts through its last day"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, err := tt.make(part())
			if err != nil || m.Key != tt.key {
				t.Fatalf("key %q, %v, want %q", m.Key, err, tt.key)
			}
			text := strings.Join(strings.Fields(m.Text), " ")
			for _, want := range tt.want {
				if !strings.Contains(text, want) {
					t.Errorf("the mail lacks %q:\n%s", want, m.Text)
				}
			}
		})
	}
	wrong := part()
	wrong.Hike = "Dry Fork\r\nBcc: all@example.org"
	if _, err := message.Ask(wrong); err == nil {
		t.Error("a line break in the hike's title is taken")
	}
}

func TestInvitationOfAPerson(t *testing.T) {
	good := message.Invitation{Ref: "a1", To: "wren@example.org", Name: "Wren O'Dell", Group: "Dry Country Walkers",
		By:   "Ines Calder",
		Link: "https://hikes.example.org/invited/abc", Until: "Sunday 14 March 2027"}
	m, err := message.Invited(good)
	if err != nil || m.Key != "invited/a1" || m.To != good.To {
		t.Fatalf("%+v, %v", m, err)
	}
	text := strings.Join(strings.Fields(m.Text), " ")
	for _, want := range []string{"Hello Wren O'Dell", "Ines Calder made an account for you",
		good.Link, "It ends: Sunday 14 March 2027", "Dry Country Walkers"} {
		if !strings.Contains(text, want) {
			t.Errorf("the mail lacks %q:\n%s", want, m.Text)
		}
	}
	for name, change := range map[string]func(*message.Invitation){
		"a line break in the name": func(i *message.Invitation) { i.Name = "Wren\r\nBcc: all@example.org" },
		"no link":                  func(i *message.Invitation) { i.Link = "" },
		"no address":               func(i *message.Invitation) { i.To = "" },
	} {
		wrong := good
		change(&wrong)
		if _, err := message.Invited(wrong); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}
