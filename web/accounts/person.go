package accounts

import (
	"crypto/rand"
	"errors"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// accountIn is the account that the address names.
func (s *Handlers) accountIn(r *http.Request) (account.Account, error) {
	id, err := strconv.ParseInt(chi.URLParam(r, "account"), 10, 64)
	if err != nil {
		return account.Account{}, account.ErrNotFound
	}
	return s.Accounts.AccountByID(r.Context(), account.ID(id))
}

func personPath(id account.ID) string { return "/people/" + strconv.FormatInt(int64(id), 10) }

// ShowPerson is the page of one account.
func (s *Handlers) ShowPerson(w http.ResponseWriter, r *http.Request) error {
	a, err := s.accountIn(r)
	if err != nil {
		return err
	}
	return s.renderPerson(w, r, http.StatusOK, a, ui.FormState{}, ui.Invitation{})
}

func (s *Handlers) renderPerson(w http.ResponseWriter, r *http.Request, status int, a account.Account,
	typed ui.FormState, shown ui.Invitation) error {
	t, err := s.Accounts.TwoStep(r.Context(), a.ID)
	if err != nil {
		return err
	}
	keys, err := s.Accounts.Passkeys(r.Context(), a.ID)
	if err != nil {
		return err
	}
	if typed.Values == nil {
		typed.Values = storedRoles(a)
	}
	p := view.NewPersonPage(s.Page(r, a.Name, "People"), personLine(a), PersonForm().Fields(typed).Named("roles"),
		typed)
	p.URL, p.Link, p.Invited = personPath(a.ID), shown, a.PasswordHash == ""
	p.Active, p.Code, p.Passkeys = a.Active, t.On(), len(keys)
	return s.Render(w, r, status, view.Person(p))
}

// storedRoles returns the stored values of the form.
func storedRoles(a account.Account) map[string][]string {
	typed := map[string][]string{}
	for _, role := range a.Roles {
		typed["roles"] = append(typed["roles"], string(role))
	}
	if a.Active {
		typed["active"] = []string{"yes"}
	}
	return typed
}

// SetRoles changes what a person may do, from their next request on. A person who may no
// longer sign in is signed out everywhere. The last coordinator cannot be removed.
func (s *Handlers) SetRoles(w http.ResponseWriter, r *http.Request) error {
	a, err := s.accountIn(r)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	rolesQuestion().Set(f, &a)
	a.Active = f.Checked("active")
	if len(f.Faults) == 0 {
		err = s.Accounts.UpdateAccount(r.Context(), a)
	}
	if errors.Is(err, account.ErrLastCoordinator) {
		f.Faults.Add("roles", "This is the last coordinator who can sign in. Name another one first.")
		err = nil
	}
	if err != nil {
		return err
	}
	if len(f.Faults) > 0 {
		return s.retryPerson(w, r, f)
	}
	if !a.Active {
		if err := s.Accounts.EndSignIns(r.Context(), a.ID, ""); err != nil {
			return err
		}
	}
	return s.SeeOther(w, r, personPath(a.ID), "Saved. It holds from "+a.Name+"'s next click on.")
}

// retryPerson shows the form again with its values and faults.
func (s *Handlers) retryPerson(w http.ResponseWriter, r *http.Request, f kit.Form) error {
	a, err := s.accountIn(r)
	if err != nil {
		return err
	}
	return s.renderPerson(w, r, http.StatusUnprocessableEntity, a, kit.FormStateOf(r, f.Faults), ui.Invitation{})
}

// MakePasswordLink creates a link to set a password and shows it once. It is an invitation if
// the person has no password yet.
func (s *Handlers) MakePasswordLink(w http.ResponseWriter, r *http.Request) error {
	a, err := s.accountIn(r)
	if err != nil {
		return err
	}
	shown := ui.Invitation{}
	if a.PasswordHash == "" {
		shown, err = s.invite(r, a)
	} else {
		shown, err = s.passwordLink(r, a)
	}
	if err != nil {
		return err
	}
	return s.renderPerson(w, r, http.StatusCreated, a, ui.FormState{}, shown)
}

func (s *Handlers) passwordLink(r *http.Request, a account.Account) (ui.Invitation, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return ui.Invitation{}, err
	}
	until := s.Now().Add(account.NewPasswordFor)
	link := account.Link{Hash: hash, Target: account.NewPasswordTarget(a.ID), Expires: until}
	if err := s.Accounts.AddLink(r.Context(), link); err != nil {
		return ui.Invitation{}, err
	}
	return ui.Invitation{For: a.Name, Link: s.BaseURL + "/new-password/" + secret.Reveal(),
		Until: format.Moment(until, s.Zone(r)), Password: true}, nil
}

// RemoveSecondStep helps a person who lost their phone, codes and passkeys. It requires the
// coordinator's own password, and notifies the person by mail.
func (s *Handlers) RemoveSecondStep(w http.ResponseWriter, r *http.Request) error {
	a, err := s.accountIn(r)
	if err != nil {
		return err
	}
	me, _ := kit.ViewerOf(r).Account()
	ok, err := s.verifyPassword(r, me)
	if err != nil {
		return err
	}
	if !ok {
		f := kit.NewForm(r)
		f.Faults.Add("current", wrongPassword)
		answer := kit.FormStateOf(r, f.Faults)
		answer.Values = storedRoles(a)
		return s.renderPerson(w, r, http.StatusUnprocessableEntity, a, answer, ui.Invitation{})
	}
	if err := s.removePasskeys(r, a.ID); err != nil {
		return err
	}
	if err := s.removeTwoStep(r.Context(), a.ID); err != nil {
		return err
	}
	s.notifyAccount(r.Context(), a, "The second step was taken off your account by "+me.Name+
		": your password alone opens it now. Set it up again on your account's page. If you did not ask for this, "+
		"call a coordinator now.")
	return s.SeeOther(w, r, personPath(a.ID), "Taken off. "+a.Name+" is told by mail.")
}

func (s *Handlers) removePasskeys(r *http.Request, id account.ID) error {
	keys, err := s.Accounts.Passkeys(r.Context(), id)
	for _, k := range keys {
		if err == nil {
			err = s.Accounts.RemovePasskey(r.Context(), id, k.ID)
		}
	}
	return err
}
