package accounts

import (
	"crypto/rand"
	"errors"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ShowPeople lists all accounts.
func (s *Handlers) ShowPeople(w http.ResponseWriter, r *http.Request) error {
	return s.renderPeople(w, r, http.StatusOK, ui.FormState{}, ui.Invitation{})
}

func (s *Handlers) renderPeople(w http.ResponseWriter, r *http.Request, status int, a ui.FormState,
	shown ui.Invitation) error {
	people, err := s.Accounts.Accounts(r.Context())
	if err != nil {
		return err
	}
	p := view.PeoplePage{Page: s.Page(r, "People", "People"), Invitation: shown, Fields: PersonForm().Fields(a)}
	second, err := s.Accounts.TwoSteps(r.Context())
	if err != nil {
		return err
	}
	for _, x := range people {
		line := personLine(x)
		line.URL, line.Second = personPath(x.ID), "no"
		if second[x.ID] {
			line.Second = "yes"
		}
		p.People = append(p.People, line)
	}
	return s.Render(w, r, status, view.People(p))
}

func personLine(a account.Account) view.PersonLine {
	line := view.PersonLine{Name: a.Name, Email: a.Email, Phone: a.Phone, State: "active"}
	roles := make([]string, len(a.Roles))
	for i, role := range a.Roles {
		roles[i] = string(role)
	}
	line.Roles = strings.Join(roles, ", ")
	switch {
	case !a.Active:
		line.State = "not active"
	case a.PasswordHash == "":
		line.State = "invited"
	}
	return line
}

// AddPerson creates an account and shows its invitation once.
func (s *Handlers) AddPerson(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	a := readNewcomer(f, s.Now())
	if len(f.Faults) > 0 {
		return s.renderPeople(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults), ui.Invitation{})
	}
	made, err := s.Accounts.CreateAccount(r.Context(), a)
	if errors.Is(err, account.ErrEmailTaken) {
		f.Faults.Add("email", "Another person has this address.")
		return s.renderPeople(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults), ui.Invitation{})
	}
	if err != nil {
		return err
	}
	shown, err := s.invite(r, made)
	if err != nil {
		return err
	}
	return s.renderPeople(w, r, http.StatusCreated, ui.FormState{}, shown)
}

// readNewcomer reads a new account from the form.
func readNewcomer(f kit.Form, now time.Time) account.Account {
	a := account.Account{Active: true, Units: account.Metric, Created: now}
	PersonForm().Read(f, &a)
	checkAccount(f, &a)
	return a
}

func (s *Handlers) invite(r *http.Request, a account.Account) (ui.Invitation, error) {
	shown, link, err := s.invitationFor(r, a)
	if err != nil {
		return ui.Invitation{}, err
	}
	return shown, s.Accounts.AddLink(r.Context(), link)
}

// invitationFor returns a new invitation and its link. If the account has no id yet, as in an
// import, the store sets the target.
func (s *Handlers) invitationFor(r *http.Request, a account.Account) (ui.Invitation, account.Link, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	until := s.Now().Add(account.InvitationFor)
	link := account.Link{Hash: hash, Target: account.InvitationTarget(a.ID), Expires: until}
	return ui.Invitation{For: a.Name, Link: s.BaseURL + "/invited/" + secret.Reveal(),
		Until: format.Day(until, s.Zone(r))}, link, err
}
