package settings

import (
	"net/http"
	"regexp"
	"strings"

	"saltbush/internal/format"
	"saltbush/internal/message"
	"saltbush/web/settings/view"
	"saltbush/web/ui"
)

// outboxShown is how many mails are shown. Our judgment.
const outboxShown = 100

// ShowOutbox lists the latest mail.
func (s *Handlers) ShowOutbox(w http.ResponseWriter, r *http.Request) error {
	mails, err := s.Outbox.Recent(r.Context(), outboxShown)
	if err != nil {
		return err
	}
	p := view.OutboxPage{Page: s.Page(r, "Outbox", "")}
	for _, m := range mails {
		mail := view.OutboxMail{To: m.To, Subject: m.Subject, When: format.Moment(m.Created, s.Zone(r)),
			State: s.mailStamp(m), Text: m.Text}
		if s.Demo {
			mail.Links = s.linksIn(m.Text)
		} else {
			mail.Text = private.ReplaceAllString(m.Text, "(a private link, for the reader of this mail alone)")
		}
		p.Mails = append(p.Mails, mail)
	}
	return s.Render(w, r, http.StatusOK, view.Outbox(p))
}

func (s *Handlers) mailStamp(m message.Mail) ui.StampText {
	switch {
	case m.State == message.Sent && s.Demo:
		return ui.StampText{Word: "kept here", Look: ui.LookPencil, Mark: ui.MarkBar}
	case m.State == message.Sent:
		return ui.StampText{Word: "sent", Look: ui.LookLeaf, Mark: ui.MarkTick}
	case m.State == message.Failed:
		return ui.StampText{Word: "not sent", Look: ui.LookClay, Mark: ui.MarkCross, Note: m.LastError}
	}
	return ui.StampText{Word: "waiting to go", Look: ui.LookOchre, Mark: ui.MarkGlass, Note: m.LastError}
}

// private matches private links. They are not shown, because anybody who has one counts as
// the person that the mail is for.
var private = regexp.MustCompile(`\S*/[a-z-]+/[a-z2-7]{32}\S*`)

var link = regexp.MustCompile(`https?://\S+`)

// linksIn returns the links of this site in the text of a mail.
func (s *Handlers) linksIn(text string) []ui.ButtonText {
	var links []ui.ButtonText
	for _, u := range link.FindAllString(text, -1) {
		if own, ok := strings.CutPrefix(u, s.BaseURL); ok {
			links = append(links, ui.ButtonText{Label: "Open the page in this mail", URL: own})
		}
	}
	return links
}
