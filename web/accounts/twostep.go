package accounts

import (
	"context"
	"crypto/rand"
	"errors"
	"net/http"
	"strconv"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// pendingSetupKey is the session key of a code key that is not confirmed yet.
const pendingSetupKey = "new code key"

// ShowTwoStep is the page of the second step.
func (s *Handlers) ShowTwoStep(w http.ResponseWriter, r *http.Request) error {
	return s.renderTwoStep(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderTwoStep(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	me, _ := kit.ViewerOf(r).Account()
	t, err := s.Accounts.TwoStep(r.Context(), me.ID)
	if err != nil {
		return err
	}
	p := view.NewTwoStepPage(s.Page(r, "Second step", ""), a)
	if p.Wanted, err = s.SecondWanted(r); err != nil {
		return err
	}
	key := account.CodeKeyFromBytes(s.Sessions.GetBytes(r.Context(), pendingSetupKey))
	switch {
	case t.On():
		p.Since, p.Left = format.Day(t.Since, s.Zone(r)),
			format.Count(len(t.Recovery), "recovery code is", "recovery codes are")+" left."
	case !key.IsZero():
		p.Key = key.Reveal()
		if p.Drawing, err = ui.NewQR(key.URI(s.houseName(r.Context()), me.Email)); err != nil {
			return err
		}
	}
	return s.Render(w, r, status, view.TwoStep(p))
}

// houseName returns the name of the house for authenticator apps and mail.
func (s *Handlers) houseName(ctx context.Context) string {
	if house, err := s.Hikes.House(ctx); err == nil && house.Organisation != "" {
		return house.Organisation
	}
	return "Saltbush"
}

// verifyPassword checks the password of the form, for actions for which an unattended screen
// must not be enough.
func (s *Handlers) verifyPassword(r *http.Request, me account.Account) (bool, error) {
	return s.Hasher.Verify(r.Context(), r.PostFormValue("current"), me.PasswordHash)
}

// retryTwoStep shows the page again with a fault.
func (s *Handlers) retryTwoStep(w http.ResponseWriter, r *http.Request, field, message string) error {
	f := kit.NewForm(r)
	f.Faults.Add(field, message)
	return s.renderTwoStep(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
}

const wrongPassword = "This is not your password."

// BeginTwoStep draws a key. It has no effect until SetUpTwoStep gets a code for it.
func (s *Handlers) BeginTwoStep(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	ok, err := s.verifyPassword(r, me)
	if err != nil {
		return err
	}
	if !ok {
		return s.retryTwoStep(w, r, "current", wrongPassword)
	}
	key, err := account.NewCodeKey(rand.Reader)
	if err != nil {
		return err
	}
	s.Sessions.Put(r.Context(), pendingSetupKey, key.Bytes())
	return s.SeeOther(w, r, "/account/two-step", "")
}

// SetUpTwoStep checks the first code, shows the recovery codes once, and signs out every
// other browser.
func (s *Handlers) SetUpTwoStep(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	key := account.CodeKeyFromBytes(s.Sessions.GetBytes(r.Context(), pendingSetupKey))
	var codes []string
	var refused, failed error
	err := s.Accounts.ChangeTwoStep(r.Context(), me.ID, func(t *account.TwoStep) {
		if t.On() {
			return
		}
		if refused = t.SetUp(key, r.PostFormValue("code"), s.Now()); refused == nil {
			codes, failed = t.NewRecovery(rand.Reader)
		}
	})
	if err = errors.Join(err, failed); err != nil {
		return err
	}
	if refused != nil {
		return s.retryTwoStep(w, r, "code", format.SentenceCase(refused.Error()))
	}
	s.Sessions.Remove(r.Context(), pendingSetupKey)
	if codes == nil { // sent twice
		return s.SeeOther(w, r, "/account/two-step", "")
	}
	if err := s.Accounts.SecondStepTaken(r.Context(), me.ID,
		s.Sessions.GetString(r.Context(), kit.SignInKey)); err != nil {
		return err
	}
	if err := s.endOthers(r, me); err != nil {
		return err
	}
	return s.renderRecovery(w, r, codes,
		"From now on a code is asked for after your password. Every other browser is signed out.")
}

func (s *Handlers) renderRecovery(w http.ResponseWriter, r *http.Request, codes []string, lede string) error {
	return s.Render(w, r, http.StatusCreated,
		view.Recovery(view.RecoveryPage{Page: s.Page(r, "Recovery codes", ""), Lede: lede, Codes: codes}))
}

// NewRecovery replaces the recovery codes and shows them once.
func (s *Handlers) NewRecovery(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	ok, err := s.verifyPassword(r, me)
	if err != nil {
		return err
	}
	if !ok {
		return s.retryTwoStep(w, r, "for_codes", wrongPassword)
	}
	var codes []string
	var failed error
	err = s.Accounts.ChangeTwoStep(r.Context(), me.ID, func(t *account.TwoStep) {
		if t.On() {
			codes, failed = t.NewRecovery(rand.Reader)
		}
	})
	if err = errors.Join(err, failed); err != nil {
		return err
	}
	if codes == nil {
		return s.SeeOther(w, r, "/account/two-step", "")
	}
	return s.renderRecovery(w, r, codes, "The old codes open nothing any more.")
}

// EndTwoStep turns the second step off.
func (s *Handlers) EndTwoStep(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	ok, err := s.verifyPassword(r, me)
	if err != nil {
		return err
	}
	if !ok {
		return s.retryTwoStep(w, r, "for_off", wrongPassword)
	}
	if err := s.removeTwoStep(r.Context(), me.ID); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/account/two-step", "Turned off. Your password alone opens your account.")
}

func (s *Handlers) removeTwoStep(ctx context.Context, id account.ID) error {
	if err := s.Accounts.ChangeTwoStep(ctx, id, func(t *account.TwoStep) { *t = account.TwoStep{} }); err != nil {
		return err
	}
	return s.Accounts.SecondStepGone(ctx, id)
}

// pendingKey is the session key of an account whose password was right and whose code is
// missing.
const pendingKey = "code pending"

// codePatience is how long a code may follow the password.
// Our judgment: people find their phone in ten minutes.
const codePatience = 10 * time.Minute

// continueSignIn signs in to an account whose password was right, or asks for the code first.
func (s *Handlers) continueSignIn(w http.ResponseWriter, r *http.Request, a account.Account, to, said string) error {
	t, err := s.Accounts.TwoStep(r.Context(), a.ID)
	if err != nil {
		return err
	}
	if !t.On() {
		if err := s.startSession(r, a, false); err != nil {
			return err
		}
		return s.SeeOther(w, r, to, said)
	}
	if err := s.Sessions.RenewToken(r.Context()); err != nil {
		return err
	}
	s.Sessions.Remove(r.Context(), kit.SignInKey)
	s.Sessions.Put(r.Context(), pendingKey, strconv.FormatInt(int64(a.ID), 10))
	s.Sessions.Put(r.Context(), pendingKey+" until", s.Now().Add(codePatience).Unix())
	s.Sessions.Put(r.Context(), pendingKey+" to", to)
	return s.SeeOther(w, r, "/sign-in/code", "")
}

// pending returns the account whose code is missing, or ErrSignIn.
func (s *Handlers) pending(r *http.Request) (account.Account, error) {
	id, err := strconv.ParseInt(s.Sessions.GetString(r.Context(), pendingKey), 10, 64)
	if err != nil || s.Now().Unix() >= s.Sessions.GetInt64(r.Context(), pendingKey+" until") {
		return account.Account{}, account.ErrSignIn
	}
	a, err := s.Accounts.AccountByID(r.Context(), account.ID(id))
	if err == nil && !a.Active {
		err = account.ErrSignIn
	}
	return a, err
}

// ShowCode asks for the code after the password.
func (s *Handlers) ShowCode(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.pending(r); err != nil {
		return toSignIn(w, r, err)
	}
	return s.renderCode(w, r, http.StatusOK, "")
}

// toSignIn redirects ErrSignIn to the sign-in page.
func toSignIn(w http.ResponseWriter, r *http.Request, err error) error {
	if errors.Is(err, account.ErrSignIn) {
		http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
		return nil
	}
	return err
}

func (s *Handlers) renderCode(w http.ResponseWriter, r *http.Request, status int, wrong string) error {
	return s.Render(w, r, status, view.Code(view.NewCodePage(s.Page(r, "Your code", ""), wrong)))
}

// TakeCode checks the code and signs in.
func (s *Handlers) TakeCode(w http.ResponseWriter, r *http.Request) error {
	a, err := s.pending(r)
	if err != nil {
		return toSignIn(w, r, err)
	}
	refused, until, left := account.ErrCodeWrong, time.Time{}, 0
	err = s.Accounts.ChangeTwoStep(r.Context(), a.ID, func(t *account.TwoStep) {
		refused = t.Enter(r.PostFormValue("code"), s.Now())
		until, left = t.Until, len(t.Recovery)
	})
	if err != nil {
		return err
	}
	if refused != nil {
		return s.renderCode(w, r, http.StatusUnprocessableEntity, s.codeFault(r, refused, until))
	}
	to, said := kit.OwnPath(s.Sessions.GetString(r.Context(), pendingKey+" to")), ""
	if left < 3 { // Our judgment: time for new codes.
		said = "Only " + format.Count(left, "recovery code is", "recovery codes are") +
			" left: make new ones on your account's page."
	}
	if err := s.startSession(r, a, true); err != nil {
		return err
	}
	return s.SeeOther(w, r, to, said)
}

// codeFault describes why a code was refused.
func (s *Handlers) codeFault(r *http.Request, refused error, until time.Time) string {
	if s.Now().Before(until) {
		refused = account.ErrCodeTooMany
	}
	why := format.SentenceCase(refused.Error())
	if errors.Is(refused, account.ErrCodeTooMany) {
		why += " Codes are taken again from " + format.Moment(until, s.Zone(r)) + "."
	}
	return why
}
