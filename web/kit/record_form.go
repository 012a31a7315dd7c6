package kit

import (
	"saltbush/internal/team"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// The forms of a staff member's record are declared here, because the record's own page and
// the table of people both read them.

const giveADay = "Give a day, such as 2027-03-14."

// ApprovalForm asks for a dated change of what a person may do as staff.
func ApprovalForm() Questions[team.Approval] {
	return Questions[team.Approval]{
		Date(ui.Field{Name: "from", Label: "From the day", Short: true, Hint: "Hikes before it stay as they were."},
			func(a *team.Approval) *unit.Date { return &a.From }, giveADay),
		Word(ui.Field{Name: "level", Label: "Level", Kind: ui.KindSelect, Options: OptionsOf(team.Levels())},
			func(a *team.Approval) *team.Level { return &a.Level }),
		Word(ui.Field{
			Name: "max_class", Label: "Hardest class of hike", Kind: ui.KindSelect, Options: OptionsOf(trail.Classes()),
		}, func(a *team.Approval) *track.Class { return &a.MaxClass }),
		Several(ui.Field{
			Name: "endorsements", Label: "Endorsed for", Optional: true, Options: OptionsOf(team.Endorsements()),
		}, func(a *team.Approval) *[]team.Endorsement { return &a.Endorsements }),
		Word(ui.Field{Name: "status", Label: "Status", Kind: ui.KindSelect, Options: OptionsOf(team.Statuses())},
			func(a *team.Approval) *team.Status { return &a.Status }),
		Line(ui.Field{Name: "reason", Label: "Reason", Hint: "Kept with the date and your name."},
			func(a *team.Approval) *string { return &a.Reason }),
	}
}

// CertificateForm asks for a certificate that a person holds.
func CertificateForm(kinds []team.CertificateKind) Questions[team.Certificate] {
	var options []ui.Option
	for _, k := range kinds {
		options = append(options, ui.Option{Value: k.Name, Label: k.Name})
	}
	return Questions[team.Certificate]{
		Line(ui.Field{Name: "certificate", Label: "Certificate", Kind: ui.KindSelect, Options: options},
			func(c *team.Certificate) *string { return &c.Kind }),
		Line(ui.Field{Name: "issuer", Label: "Issued by"},
			func(c *team.Certificate) *string { return &c.Issuer }),
		Line(ui.Field{Name: "number", Label: "Number", Optional: true, Short: true},
			func(c *team.Certificate) *string { return &c.Number }),
		Date(ui.Field{
			Name: "through", Label: "Valid through", Short: true, Optional: true,
			Hint: "The last day on which it counts. Leave it empty where it does not end.",
		}, func(c *team.Certificate) *unit.Date { return &c.Through }, giveADay),
		Line(ui.Field{
			Name: "evidence", Label: "Where the paper was seen", Hint: "Such as: copy on file, shown at training.",
		}, func(c *team.Certificate) *string { return &c.Evidence }),
	}
}
