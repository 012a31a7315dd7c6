package storybook

import (
	"saltbush/web/accounts"
	accountsview "saltbush/web/accounts/view"
	"saltbush/web/ui"
)

// accessPages lists the states of the pages about signing in, and of a person's page.
func accessPages() []StatePage {
	return []StatePage{
		{"two-step", "Second step, none yet", accountsview.TwoStep(twoStepSample(ui.FormState{}))},
		{"two-step-key", "Second step, being set up",
			accountsview.TwoStep(keySample(ui.FormState{Errors: map[string]string{"code": "This is not the code of " +
				"now: type the newest one, and see that the phone's clock is right."}}))},
		{"two-step-on", "Second step, on", accountsview.TwoStep(onSample())},
		{"recovery", "Recovery codes",
			accountsview.Recovery(accountsview.RecoveryPage{Page: sampleStaffPage("Recovery codes", ""),
				Lede: "The old codes open nothing any more.", Codes: []string{"mzxw 6ytb oi2g c3tp ojsx i2lo",
					"nfxh gzls mf2g kzlt orqx 45dz"}})},
		{"code", "Code after the password",
			accountsview.Code(accountsview.NewCodePage(samplePage("Your code", ""), ""))},
		{"code-wrong", "Code, too many wrong ones",
			accountsview.Code(accountsview.NewCodePage(samplePage("Your code", ""),
				"Too many wrong codes: wait before you try again. Codes are taken again from Sun 10 May, 12:15."))},
		{"passkeys", "Passkeys", accountsview.Passkeys(passkeysSample())},
		{"passkeys-not", "Passkeys, site without a name",
			accountsview.Passkeys(accountsview.NewPasskeysPage(sampleStaffPage("Passkeys", ""), ui.FormState{}))},
		{"person", "A person",
			accountsview.Person(personSample(ui.FormState{Values: map[string][]string{"roles": {"leader",
				"coordinator"}, "active": {"yes"}}}))},
		{"person-wrong", "A person, the last coordinator",
			accountsview.Person(personSample(ui.FormState{Values: map[string][]string{"roles": {"leader"},
				"active": {"yes"}},
				Errors: map[string]string{
					"roles": "This is the last coordinator who can sign in. Name another one first."}}))},
		{"lost-password", "A new password, asked for",
			accountsview.LostPassword(ui.LostLinkPage{Page: samplePage("A new password", ""), Sent: true,
				Email: ui.Field{Name: "email", Label: "Mail address", Kind: "email"}})},
	}
}

func twoStepSample(a ui.FormState) accountsview.TwoStepPage {
	p := accountsview.NewTwoStepPage(sampleStaffPage("Second step", ""), a)
	p.Wanted = "You may open everybody's data, and a password alone can be found out. Until Sun 24 May, 12:00 you " +
		"can go on without; after that what only coordinators do waits for it."
	return p
}

func keySample(a ui.FormState) accountsview.TwoStepPage {
	p := twoStepSample(a)
	p.Key = "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ"
	// the text is short enough for a code
	p.Drawing,
		_ = ui.NewQR("otpauth://totp/Sill%20Basin%20Walkers:ines.calder@example.org" +
		"?issuer=Sill%20Basin%20Walkers&secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ")
	return p
}

func onSample() accountsview.TwoStepPage {
	p := accountsview.NewTwoStepPage(sampleStaffPage("Second step", ""), ui.FormState{})
	p.Since, p.Left = "Sunday 8 March 2026", "7 recovery codes are left."
	return p
}

func passkeysSample() accountsview.PasskeysPage {
	p := accountsview.NewPasskeysPage(sampleStaffPage("Passkeys", ""), ui.FormState{})
	p.Able, p.Origin = true, "https://hikes.example.org"
	p.Keys = []accountsview.PasskeyLine{{ID: "1", Name: "My phone", Made: "Sun 8 Mar, 18:02",
		Used: "Sun 10 May, 05:12"}, {ID: "2", Name: "Token in the drawer", Made: "Sun 8 Mar, 18:20", Used: "not yet"}}
	return p
}

func personSample(a ui.FormState) accountsview.PersonPage {
	p := accountsview.NewPersonPage(sampleStaffPage("Ines Calder", "People"), peopleSample().People[0],
		accounts.PersonForm().Fields(a).Named("roles"), a)
	p.URL, p.Active, p.Code, p.Passkeys = "/people/1", true, true, 2
	return p
}
