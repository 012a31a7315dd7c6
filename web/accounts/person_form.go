package accounts

import (
	"saltbush/internal/account"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// PersonForm asks about a new person.
func PersonForm() kit.Questions[account.Account] {
	return kit.Questions[account.Account]{
		kit.Line(ui.Field{Name: "name", Label: "Name", Autocomplete: "off"},
			func(a *account.Account) *string { return &a.Name }),
		kit.Line(ui.Field{
			Name: "email", Label: "E-mail", Kind: "email", Autocomplete: "off", Hint: "They sign in with it.",
		}, func(a *account.Account) *string { return &a.Email }),
		kit.Line(ui.Field{
			Name: "phone", Label: "Phone", Kind: "tel", Optional: true, Autocomplete: "off",
			Hint: "How staff and on-call reach them.",
		}, func(a *account.Account) *string { return &a.Phone }),
		rolesQuestion(),
	}
}

// rolesQuestion asks what a person may do. An unknown role is a fault.
func rolesQuestion() kit.Question[account.Account] {
	q := kit.Several(ui.Field{Name: "roles", Label: "What they may do", Optional: true, Options: []ui.Option{
		{Value: "leader", Label: "Leader", Note: "Adds trails, schedules hikes, manages the hikes they staff."},
		{Value: "coordinator", Label: "Coordinator", Note: "All of that on every hike, and the people."},
		{
			Value: "trainer", Label: "Trainer",
			Note: "Sees the records of staff and notes observed hikes. Sees no participants.",
		},
		{
			Value: "safety officer", Label: "Safety officer",
			Note: "Reads the board, the watches and the papers of every hike, and changes none of them.",
		},
		{
			Value: "on-call", Label: "On-call",
			Note: "Holds the watch from home: the board, and each hike from the evening before it until it is closed.",
		},
	}}, func(a *account.Account) *[]account.Role { return &a.Roles })
	q.Set = func(f kit.Form, a *account.Account) {
		a.Roles = nil
		for _, role := range f.Values["roles"] {
			known, err := account.ParseRole(role)
			if err != nil {
				f.Faults.Add("roles", "Choose from this list.")
				continue
			}
			a.Roles = append(a.Roles, known)
		}
	}
	return q
}
