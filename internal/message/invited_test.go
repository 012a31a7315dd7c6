package message_test

import (
	"strings"
	"testing"

	"saltbush/internal/message"
)

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
