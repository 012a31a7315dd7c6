package web

import (
	"net/http"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/text"
	"saltbush/web/view"
)

func (s *Server) showFirst(w http.ResponseWriter, r *http.Request) error {
	secret, err := s.firstLink(r, chi.URLParam(r, "secret"))
	if err != nil {
		return err
	}
	return s.renderFirst(w, r, http.StatusOK, view.Answers{Typed: map[string][]string{"code": {secret.Reveal()}}})
}

// firstLink opens the one-time link that the program printed at its first start.
func (s *Server) firstLink(r *http.Request, code string) (account.Secret, error) {
	secret, err := account.ParseSecret(code)
	if err != nil {
		return secret, err
	}
	link, err := s.Accounts.LinkByHash(r.Context(), secret.Hash())
	if err != nil {
		return secret, err
	}
	return secret, link.Open(secret, account.FirstCoordinator, s.Now())
}

func (s *Server) renderFirst(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	p := view.FirstPage{
		Page:         s.page(r, "First coordinator", ""),
		Code:         a.Asked(view.Field{Name: "code", Label: "Code", Hint: "From the link that the program printed when it started.", Autocomplete: "off"}),
		Organisation: a.Asked(view.Field{Name: "organisation", Label: "Name of the organisation"}),
		Emergency:    a.Asked(view.Field{Name: "emergency", Label: "Local emergency number", Hint: "It stands on every page and paper.", Short: true}),
		Zone:         a.Asked(view.Field{Name: "zone", Label: "Time zone of the trailheads", Hint: "As region and city, such as America/Phoenix."}),
		Name:         a.Asked(view.Field{Name: "name", Label: "Your name", Autocomplete: "name"}),
		Email:        a.Asked(view.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "email"}),
		Password:     newPasswordField(a),
	}
	return s.render(w, r, status, view.First(p))
}

// newPasswordField asks for a new password. What was typed is never sent back.
func newPasswordField(a view.Answers) view.Field {
	f := a.Asked(view.Field{Name: "password", Label: "Password", Kind: "password", Hint: "At least 12 signs. Four words you can remember are good.", Autocomplete: "new-password"})
	f.Value = ""
	return f
}

func (s *Server) makeFirst(w http.ResponseWriter, r *http.Request) error {
	f := newForm(r)
	secret, err := s.firstLink(r, f.text("code"))
	if err != nil {
		return err
	}
	house := hike.House{Organisation: f.text("organisation"), Emergency: f.text("emergency"), Zone: f.text("zone")}
	a := account.Account{Name: f.text("name"), Roles: []account.Role{account.Coordinator, account.Leader}, Active: true, Units: account.Metric, Created: s.Now()}
	f.account(&a)
	f.password(a)
	invalid, err := f.invalid(house.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderFirst(w, r, http.StatusUnprocessableEntity, answers(r, invalid))
	}
	if a.PasswordHash, err = s.Hasher.Hash(r.Context(), r.PostFormValue("password")); err != nil {
		return err
	}
	return s.openBook(w, r, secret, a, house)
}

func (s *Server) openBook(w http.ResponseWriter, r *http.Request, secret account.Secret, a account.Account, house hike.House) error {
	made, err := s.Accounts.CreateFirst(r.Context(), secret.Hash(), a, s.Now())
	if err != nil {
		return err
	}
	if err := s.Hikes.SaveHouse(r.Context(), house); err != nil {
		return err
	}
	if err := s.begin(r, made, false); err != nil {
		return err
	}
	return s.seeOther(w, r, "/trails/new", "The book is open. Add the first trail.")
}

// account reads name and address into the account.
func (f form) account(a *account.Account) {
	if a.Name = text.Name(a.Name); a.Name == "" {
		f.faults.Add("name", "Write a name.")
	}
	clean, err := account.CleanEmail(f.text("email"))
	if err == nil {
		a.Email = clean // an account on file may have it, even where no mail can reach it
		err = account.CheckEmail(clean)
	}
	if err != nil {
		f.faults.Add("email", "Give an address that mail can reach, such as you@example.org.")
		return
	}
	if err := a.Check(); err != nil && len(f.faults) == 0 {
		f.faults.Add("name", sentence(err))
	}
}

func (f form) password(a account.Account) {
	if err := account.CheckPassword(f.r.PostFormValue("password"), a); err != nil {
		f.faults.Add("password", sentenceCase(err.Error()))
	}
}

// showInvited lets somebody whom a coordinator added choose a password.
func (s *Server) showInvited(w http.ResponseWriter, r *http.Request) error {
	if _, _, err := s.passwordAsked(r, account.Invitation); err != nil {
		return err
	}
	return s.renderInvited(w, r, http.StatusOK, view.Answers{})
}

func (s *Server) renderInvited(w http.ResponseWriter, r *http.Request, status int, a view.Answers) error {
	p := view.InvitedPage{Page: s.page(r, "Choose a password", ""), URL: r.URL.Path, Password: newPasswordField(a)}
	p.Private = true
	return s.render(w, r, status, view.Invited(p))
}

func (s *Server) acceptInvitation(w http.ResponseWriter, r *http.Request) error {
	secret, who, err := s.passwordAsked(r, account.Invitation)
	if err != nil {
		return err
	}
	f := newForm(r)
	f.password(who)
	if len(f.faults) > 0 {
		return s.renderInvited(w, r, http.StatusUnprocessableEntity, answers(r, f.faults))
	}
	a, err := s.passwordByLink(r, secret)
	if err != nil {
		return err
	}
	return s.enter(w, r, a, home(a), "Welcome, "+a.Name+".")
}
