package accounts

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"net/http"
	"strconv"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// ShowLostPassword asks for the mail address of an account.
func (s *Handlers) ShowLostPassword(w http.ResponseWriter, r *http.Request) error {
	return s.renderLostPassword(w, r, http.StatusOK, ui.FormState{}, false)
}

func (s *Handlers) renderLostPassword(w http.ResponseWriter, r *http.Request, status int, a ui.FormState,
	sent bool) error {
	p := ui.LostLinkPage{Page: s.Page(r, "A new password", ""), Sent: sent,
		Email: a.Bind(ui.Field{Name: "email", Label: "Mail address", Kind: "email", Autocomplete: "username",
			Hint: "The one that you sign in with."})}
	return s.Render(w, r, status, view.LostPassword(p))
}

// SendPasswordLink gives the same response in the same time whether or not the address is
// known.
func (s *Handlers) SendPasswordLink(w http.ResponseWriter, r *http.Request) error {
	f := kit.NewForm(r)
	email, err := account.CleanEmail(f.Text("email"))
	if err != nil {
		f.Faults.Add("email", "Give an address that mail can reach, such as you@example.org.")
		return s.renderLostPassword(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults), false)
	}
	go s.mailPasswordLink(context.WithoutCancel(r.Context()), email)
	return s.renderLostPassword(w, r, http.StatusOK, ui.FormState{}, true)
}

func (s *Handlers) mailPasswordLink(ctx context.Context, email string) {
	a, err := s.Accounts.AccountByEmail(ctx, email)
	if errors.Is(err, account.ErrNotFound) || err == nil && !a.Active {
		return
	}
	if err == nil {
		err = s.queuePasswordLink(ctx, a)
	}
	if err != nil {
		s.Log.Error("mail a link for a new password", "err", err)
	}
}

func (s *Handlers) queuePasswordLink(ctx context.Context, a account.Account) error {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return err
	}
	link := account.Link{Hash: hash, Target: account.NewPasswordTarget(a.ID),
		Expires: s.Now().Add(account.NewPasswordFor)}
	note := message.AccountNote{Ref: hex.EncodeToString(hash[:8]), To: a.Email, Name: a.Name, Group: s.houseName(ctx),
		Link: s.BaseURL + "/new-password/" + secret.Reveal(), Until: link.Expires}
	m, err := message.PasswordLink(note)
	if err != nil {
		return err
	}
	if err := s.Accounts.AddLink(ctx, link); err != nil {
		return err
	}
	return s.Outbox.Queue(ctx, s.Now(), m)
}

// notifyAccount tells a person by mail what was changed about their account.
func (s *Handlers) notifyAccount(ctx context.Context, a account.Account, what string) {
	ref := strconv.FormatInt(int64(a.ID), 10) + "-" + strconv.FormatInt(s.Now().UnixNano(), 36)
	m, err := message.AccountChanged(message.AccountNote{Ref: ref, To: a.Email, Name: a.Name, Group: s.houseName(ctx)},
		what)
	s.notify.Send(ctx, m, err)
}

// openPasswordLink opens a link to choose a password, and loads its account.
func (s *Handlers) openPasswordLink(r *http.Request, p account.Purpose) (account.Link, account.Account, error) {
	link, err := account.OpenLink(r.Context(), s.Accounts, kit.SecretIn(r), p, s.Now())
	if err != nil {
		return link, account.Account{}, err
	}
	a, err := s.Accounts.AccountByID(r.Context(), link.Account)
	if err == nil && !a.Active {
		err = account.ErrLinkExpired
	}
	return link, a, err
}

// ShowNewPassword asks for a new password.
func (s *Handlers) ShowNewPassword(w http.ResponseWriter, r *http.Request) error {
	if _, _, err := s.openPasswordLink(r, account.NewPassword); err != nil {
		return err
	}
	return s.renderNewPassword(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderNewPassword(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	p := view.InvitedPage{Page: s.Page(r, "Choose a new password", ""), URL: r.URL.Path, Again: true,
		Password: newPasswordField(a)}
	p.Private = true
	return s.Render(w, r, status, view.Invited(p))
}

// SetNewPassword replaces a forgotten password. It signs out all browsers, still requires the
// second step, and notifies the person by mail.
func (s *Handlers) SetNewPassword(w http.ResponseWriter, r *http.Request) error {
	link, who, err := s.openPasswordLink(r, account.NewPassword)
	if err != nil {
		return err
	}
	f := kit.NewForm(r)
	readPassword(f, who)
	if len(f.Faults) > 0 {
		return s.renderNewPassword(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
	}
	a, err := s.passwordByLink(r, link)
	if err != nil {
		return err
	}
	s.notifyAccount(r.Context(), a,
		"Your password was changed by a link that was sent to you or handed to you, and every browser was signed "+
			"out. If that was not you, call a coordinator now.")
	return s.continueSignIn(w, r, a, kit.Home(a), "Your password is changed. Every other browser is signed out.")
}

// passwordByLink stores the password of the form and signs out all browsers.
func (s *Handlers) passwordByLink(r *http.Request, l account.Link) (account.Account, error) {
	hash, err := s.Hasher.Hash(r.Context(), r.PostFormValue("password"))
	if err != nil {
		return account.Account{}, err
	}
	a, err := s.Accounts.SetPasswordByLink(r.Context(), l.Hash, hash, s.Now())
	if err != nil {
		return a, err
	}
	return a, s.Accounts.EndSignIns(r.Context(), a.ID, "")
}
