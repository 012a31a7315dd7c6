package message_test

import (
	"strings"
	"testing"

	"saltbush/internal/message"
)

func part() message.Part {
	return message.Part{Ref: "12-a", To: "ash@example.org", Name: "Ash Moreno", Hike: "Dry Fork at dawn",
		Day:   "Sunday 14 March 2027",
		Group: "Dry Country Walkers", Part: "sweep", Meet: "06:30", Trail: "Dry Fork", By: "Ines Calder",
		Link: "https://hikes.example.org/asked/abc"}
}

func TestStaffMail(t *testing.T) {
	tests := []struct {
		name string
		make func(message.Part) (message.Mail, error)
		key  string
		want []string
	}{
		{"asked", message.Ask, "asked/12-a", []string{"Ines Calder asks", "Part: sweep",
			"https://hikes.example.org/asked/abc", "Until you say yes, nobody counts"}},
		{"declined",
			func(p message.Part) (message.Mail, error) { return message.Declined(p, "Rosa Lind", "away that week") },
			"declined/12-a",
			[]string{"Rosa Lind cannot be sweep", "away that week."}},
		{"a paper ends", func(p message.Part) (message.Mail, error) {
			return message.PaperEnds(p, "Your CPR is valid through 14 Mar 2027.")
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
