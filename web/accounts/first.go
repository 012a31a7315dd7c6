package accounts

import (
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/rules"
	"saltbush/internal/text"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ShowFirst is the form for the first coordinator.
func (s *Handlers) ShowFirst(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.firstLink(r, kit.SecretIn(r)); err != nil {
		return err
	}
	return s.renderFirst(w, r, http.StatusOK, ui.FormState{Values: map[string][]string{"code": {kit.SecretIn(r)}}})
}

// firstLink opens the one-time link that the program prints at its first start.
func (s *Handlers) firstLink(r *http.Request, code string) (account.Link, error) {
	return account.OpenLink(r.Context(), s.Accounts, code, account.FirstCoordinator, s.Now())
}

func (s *Handlers) renderFirst(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	p := view.FirstPage{
		Page: s.Page(r, "First coordinator", ""),
		Code: a.Bind(ui.Field{Name: "code", Label: "Code",
			Hint: "From the link that the program printed when it started.", Autocomplete: "off"}),
		Organisation: a.Bind(ui.Field{Name: "organisation", Label: "Name of the organization"}),
		Emergency: a.Bind(ui.Field{Name: "emergency", Label: "Local emergency number",
			Hint: "It stands on every page and paper.", Short: true}),
		Zone: a.Bind(ui.Field{Name: "zone", Label: "Time zone of the trailheads",
			Hint: "As region and city, such as America/Phoenix."}),
		Name:     a.Bind(ui.Field{Name: "name", Label: "Your name", Autocomplete: "name"}),
		Email:    a.Bind(ui.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "email"}),
		Password: newPasswordField(a),
	}
	return s.Render(w, r, status, view.First(p))
}

// newPasswordField asks for a new password. It never sends a typed password back.
func newPasswordField(a ui.FormState) ui.Field {
	f := a.Bind(ui.Field{Name: "password", Label: "Password", Kind: "password",
		Hint: "At least 12 signs. Four words you can remember are good.", Autocomplete: "new-password"})
	f.Value = ""
	return f
}

// MakeFirst creates the first coordinator and the house.
func (s *Handlers) MakeFirst(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	link, err := s.firstLink(r, f.Text("code"))
	if err != nil {
		return err
	}
	house := rules.House{Organisation: f.Text("organisation"), Emergency: f.Text("emergency"), Zone: f.Text("zone")}
	a := account.Account{Name: f.Text("name"), Email: f.Text("email"),
		Roles: []account.Role{account.Coordinator, account.Leader}, Active: true, Units: account.Metric,
		Created: s.Now()}
	checkAccount(f, &a)
	readPassword(f, a)
	invalid, err := f.Invalid(house.Validate())
	if err != nil {
		return err
	}
	if invalid != nil {
		return s.renderFirst(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid))
	}
	if a.PasswordHash, err = s.Hasher.Hash(r.Context(), r.PostFormValue("password")); err != nil {
		return err
	}
	return s.createFirst(w, r, link, a, house)
}

// createFirst stores the first coordinator and the house, and signs in.
func (s *Handlers) createFirst(w http.ResponseWriter, r *http.Request, link account.Link, a account.Account,
	house rules.House) error {
	made, err := s.Accounts.CreateFirst(r.Context(), link.Hash, a, s.Now())
	if err != nil {
		return err
	}
	if err := s.Hikes.SaveHouse(r.Context(), house); err != nil {
		return err
	}
	if err := s.startSession(r, made, false); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/trails/new", "The book is open. Add the first trail.")
}

// checkAccount cleans the name and the address of a new account, and adds their faults.
func checkAccount(f kit.Form, a *account.Account) {
	if a.Name = text.Name(a.Name); a.Name == "" {
		f.Faults.Add("name", "Write a name.")
	}
	clean, err := account.CleanEmail(a.Email)
	a.Email = ""
	if err == nil {
		a.Email = clean // kept even if mail cannot reach it: an import compares it with stored accounts
		err = account.CheckEmail(clean)
	}
	if err != nil {
		f.Faults.Add("email", "Give an address that mail can reach, such as you@example.org.")
		return
	}
	if err := a.Check(); err != nil && len(f.Faults) == 0 {
		f.Faults.Add("name", kit.Sentence(err))
	}
}

func readPassword(f kit.Form, a account.Account) {
	if err := account.CheckPassword(f.Values.Get("password"), a); err != nil {
		f.Faults.Add("password", format.SentenceCase(err.Error()))
	}
}

// ShowInvited asks an invited person to choose a password.
func (s *Handlers) ShowInvited(w http.ResponseWriter, r *http.Request) error {
	if _, _, err := s.openPasswordLink(r, account.Invitation); err != nil {
		return err
	}
	return s.renderInvited(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderInvited(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	p := view.InvitedPage{Page: s.Page(r, "Choose a password", ""), URL: r.URL.Path, Password: newPasswordField(a)}
	p.Private = true
	return s.Render(w, r, status, view.Invited(p))
}

// AcceptInvitation stores the first password of an invited person and signs them in.
func (s *Handlers) AcceptInvitation(w http.ResponseWriter, r *http.Request) error {
	link, who, err := s.openPasswordLink(r, account.Invitation)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	readPassword(f, who)
	if len(f.Faults) > 0 {
		return s.renderInvited(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
	}
	a, err := s.passwordByLink(r, link)
	if err != nil {
		return err
	}
	return s.continueSignIn(w, r, a, kit.Home(a), "Welcome, "+a.Name+".")
}
