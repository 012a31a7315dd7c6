package watch_test

import (
	"testing"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/ref"
	"saltbush/internal/team"
	"saltbush/internal/watch"
)

func TestRecipientsHaveTheirAccount(t *testing.T) {
	book := watch.Book{Members: []watch.Member{
		{ID: 1, Name: "Rosa Lind", Email: "rosa@example.org", Phone: "928-555-0101"},
		{ID: 2, Name: "Tomas Verde", Email: "tomas@example.org", Coordinator: true},
		{ID: 3, Name: "Twin Name", Email: "one@example.org"},
		{ID: 4, Name: "Twin Name", Email: "two@example.org"},
	}}
	tests := []struct {
		name   string
		onCall team.Contact
		want   ref.Account
		mailTo string
	}{
		{"by the address", team.Contact{Name: "R", Email: "Rosa@example.org"}, 1, "Rosa@example.org"},
		{"by the number", team.Contact{Name: "R", Phone: "(928) 555 0101"}, 1, "rosa@example.org"},
		{"by the name", team.Contact{Name: "rosa lind"}, 1, "rosa@example.org"},
		{"the address decides", team.Contact{Name: "Tomas Verde", Email: "rosa@example.org"}, 1, "rosa@example.org"},
		{"an address without an account", team.Contact{Name: "Rosa Lind", Email: "r@example.org"}, 0, "r@example.org"},
		{"two of the name", team.Contact{Name: "Twin Name"}, 0, ""},
		{"nobody is a coordinator", team.Contact{}, 2, "tomas@example.org"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var c watch.Case
			c.Hike = hike.Hike{OnCall: tt.onCall}
			list := book.For(c, watch.Rung{Who: []watch.Owner{watch.OnCall}}, time.Now())
			if len(list) == 0 || list[0].Account != tt.want || list[0].Email != tt.mailTo {
				t.Errorf("recipients %+v, want account %d at %q first", list, tt.want, tt.mailTo)
			}
		})
	}
}
