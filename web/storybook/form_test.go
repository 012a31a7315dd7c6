package storybook_test

import (
	"testing"

	"saltbush/internal/format"
	"saltbush/internal/rules"
	"saltbush/internal/track"
	"saltbush/web/accounts"
	"saltbush/web/hikes"
	"saltbush/web/kit"
	"saltbush/web/signups"
	"saltbush/web/team"
	"saltbush/web/trails"
	"saltbush/web/ui"
)

// Every question that a form declares is on its page. One that is read and not asked would always
// be empty.
func TestPagesAskEveryQuestionOfTheirForms(t *testing.T) {
	none := ui.FormState{}
	for _, tt := range []struct {
		page string
		form ui.Fields
	}{
		{"signup", signups.SignUpForm(signups.FormFor{Rules: rules.DefaultRules()}).Fields(none)},
		{"card-form", signups.CardForm().Fields(none)},
		{"screening", signups.ScreeningForm("1").Fields(none)},
		{"place-contact", signups.ContactForm().Fields(none)},
		{"place-cars", signups.CarForm().Fields(none)},
		{"cars", signups.ShuttleForm().Fields(none)},
		{"hike-form", hikes.HikeForm(hikes.HikeFormFor{}).Fields(none)},
		{"hike", hikes.ForecastForm(format.Metric).Fields(none)},
		{"trail-form", trails.TrailForm().Fields(none)},
		{"trail-form-edit", trails.TrailEditForm().Fields(none)},
		{"trail", trails.ShapeForm(track.Loop).Fields(none)},
		{"trail", trails.PointForm(format.US).Fields(none)},
		{"trail", trails.ScoutForm().Fields(none)},
		{"trail", trails.ClosureForm().Fields(none)},
		{"trail", trails.YearForm().Fields(none)},
		{"people", accounts.PersonForm().Fields(none)},
		{"record", kit.ApprovalForm().Fields(none)},
		{"record", kit.CertificateForm(nil).Fields(none)},
		{"record", team.ObservedForm().Fields(none)},
	} {
		doc := page(t, tt.page)
		for _, f := range tt.form {
			if doc.Find("form [name='"+f.Name+"']").Length() == 0 {
				t.Errorf("page %s does not ask for %q", tt.page, f.Name)
			}
		}
	}
}
