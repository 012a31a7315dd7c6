package accounts

import (
	"errors"
	"net/http"

	"github.com/google/uuid"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ShowSignIn is the sign-in page.
func (s *Handlers) ShowSignIn(w http.ResponseWriter, r *http.Request) error {
	return s.renderSignIn(w, r, http.StatusOK, "", "")
}

func (s *Handlers) renderSignIn(w http.ResponseWriter, r *http.Request, status int, email, wrong string) error {
	p := view.SigninPage{
		Page:     s.Page(r, "Sign in", ""),
		Email:    ui.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "username", Value: email},
		Password: ui.Field{Name: "password", Label: "Password", Kind: "password", Autocomplete: "current-password"},
		Next:     kit.OwnPath(r.FormValue("next")),
	}
	for _, sample := range s.Samples {
		p.Samples = append(p.Samples,
			format.Line{Label: sample.As, Value: sample.Email, Note: "password " + sample.Password})
	}
	if origin, _, ok := s.passkeyOrigin(); ok {
		p.Origin = origin
	}
	if wrong != "" {
		p.Wrong = ui.NoteText{Kind: ui.NoteGrave, Title: "That did not open", Text: wrong}
	}
	return s.Render(w, r, status, view.Signin(p))
}

// SignIn checks the password and continues with the code, if there is a second step.
func (s *Handlers) SignIn(w http.ResponseWriter, r *http.Request) error {
	email := r.PostFormValue("email")
	a, err := s.check(r, email, r.PostFormValue("password"))
	if errors.Is(err, account.ErrNotFound) {
		return s.renderSignIn(w, r, http.StatusUnprocessableEntity, email,
			"E-mail address and password do not match an account.")
	}
	if err != nil {
		return err
	}
	next := kit.OwnPath(r.PostFormValue("next"))
	if next == "/desk" {
		next = kit.Home(a)
	}
	return s.continueSignIn(w, r, a, next, "")
}

// check returns the active account with the address and the password. It is ErrNotFound for
// every mismatch, and always takes the same time.
func (s *Handlers) check(r *http.Request, email, password string) (account.Account, error) {
	clean, err := account.CleanEmail(email)
	if err != nil {
		clean = ""
	}
	a, err := s.Accounts.AccountByEmail(r.Context(), clean)
	if err != nil && !errors.Is(err, account.ErrNotFound) {
		return a, err
	}
	known := err == nil && a.Active && a.PasswordHash != ""
	if !known {
		a.PasswordHash = "" // verified anyway, so that the time reveals nothing
	}
	ok, err := s.Hasher.Verify(r.Context(), password, a.PasswordHash)
	if err != nil {
		return a, err
	}
	if !known || !ok {
		return account.Account{}, account.ErrNotFound
	}
	return a, nil
}

// startSession signs in under a new session token. Second means that a second step was taken.
func (s *Handlers) startSession(r *http.Request, a account.Account, second bool) error {
	if err := s.Sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	in := account.SignIn{ID: uuid.NewString(), Account: a.ID, Began: s.Now(), Device: account.DeviceOf(agentOf(r)),
		Network: networkOf(r), Second: second}
	if err := s.Accounts.AddSignIn(r.Context(), in); err != nil {
		return err
	}
	s.Sessions.Put(r.Context(), kit.SignInKey, in.ID)
	s.Sessions.Remove(r.Context(), pendingKey)
	return nil
}

// SignOut ends the sign-in of this browser.
func (s *Handlers) SignOut(w http.ResponseWriter, r *http.Request) error {
	if a, ok := kit.ViewerOf(r).Account(); ok {
		if err := s.Accounts.EndSignIn(r.Context(), a.ID,
			s.Sessions.GetString(r.Context(), kit.SignInKey)); err != nil {
			return err
		}
	}
	if err := s.Sessions.Destroy(r.Context()); err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}
