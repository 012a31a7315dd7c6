package signups

import (
	"net/http"

	"saltbush/web/kit"
	"saltbush/web/signups/view"
	"saltbush/web/ui"
)

// ShowMailChoice shows what can be stopped. It changes nothing, because mail programs open links to
// check them.
func (s *Handlers) ShowMailChoice(w http.ResponseWriter, r *http.Request) error {
	c, err := s.Choices.ChoiceByToken(r.Context(), kit.SecretIn(r))
	if err != nil {
		return err
	}
	p := view.MailChoicePage{
		Page: s.Page(r, "Mails that you can do without", ""), Address: c.Address,
		Lede: "You get " + c.Topic.Says() + " by mail.",
		Still: []string{"What is decided about a hike that you have a place on, and each change of it.",
			"Your place, and whatever you ask for yourself.", "Everything that concerns safety, alarms above all."},
		Press: ui.ButtonText{Label: "Send no more of these", URL: r.URL.Path, Kind: ui.ButtonMain, Name: "choice",
			Value: "stop"},
	}
	if !c.Stopped.IsZero() {
		p.Lede = "You get no more " + c.Topic.Says() + " by mail."
		p.Press = ui.ButtonText{Label: "Send them again", URL: r.URL.Path, Name: "choice", Value: "again"}
	}
	p.Private = true
	return s.Render(w, r, http.StatusOK, view.MailChoice(p))
}

// ChooseMail stops or resumes mails and answers with the page itself: RFC 8058 (2017), section 3.1,
// allows no redirect for the mail program that posts on its reader's behalf, and no sign-in. Any
// post means stop, except the button that says otherwise.
func (s *Handlers) ChooseMail(w http.ResponseWriter, r *http.Request) error {
	var err error
	if r.PostFormValue("choice") == "again" {
		err = s.Choices.Resume(r.Context(), kit.SecretIn(r))
	} else {
		err = s.Choices.Stop(r.Context(), kit.SecretIn(r), s.Now())
	}
	if err != nil {
		return err
	}
	return s.ShowMailChoice(w, r)
}
