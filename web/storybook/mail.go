package storybook

import (
	accountsview "saltbush/web/accounts/view"
	signupsview "saltbush/web/signups/view"
	"saltbush/web/ui"
)

func mailChoiceSample() signupsview.MailChoicePage {
	return signupsview.MailChoicePage{
		Page: samplePrivatePage("Mails that you can do without"), Address: "amaya@redlantern.example",
		Lede: "You get reminders before a hike by mail.",
		Still: []string{"What is decided about a hike that you have a place on, and each change of it.",
			"Your place, and whatever you ask for yourself.", "Everything that concerns safety, alarms above all."},
		Press: ui.ButtonText{Label: "Send no more of these", URL: "/mail/K7QX", Kind: ui.ButtonMain, Name: "choice",
			Value: "stop"},
	}
}

func mailStopped() signupsview.MailChoicePage {
	p := mailChoiceSample()
	p.Lede = "You get no more reminders before a hike by mail."
	p.Press = ui.ButtonText{Label: "Send them again", URL: "/mail/K7QX", Name: "choice", Value: "again"}
	return p
}

func feedsSample() accountsview.FeedsText {
	end := func(id, name string) ui.ButtonText {
		return ui.ButtonText{Label: "End", URL: "/account/feeds/" + id + "/end", About: name}
	}
	return accountsview.FeedsText{
		New:  "https://redlantern.example/feed/k7qxm2v4p6s3t5w7y2a4c6e3g5j7n2r4/hikes.ics",
		Name: accountsview.NewFeedField(ui.FormState{}),
		Lines: []accountsview.FeedLine{
			{Name: "My phone", Made: "Sat 9 May, 12:20", Read: "never", End: end("2", "My phone")},
			{Name: "The family's wall", Made: "Mon 2 Mar, 08:05", Read: "Sat 9 May, 12:00",
				End: end("1", "The family's wall")},
		},
	}
}
