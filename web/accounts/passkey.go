package accounts

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"github.com/go-webauthn/webauthn/webauthn"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// Session keys of the challenges that the responses of passkeys are checked against.
const (
	newPasskeyKey = "new passkey"
	askPasskeyKey = "asked passkey"
)

// maxPasskeys is how many passkeys an account may have.
// Our judgment: a phone, a computer, two security keys, and as many forgotten ones.
const maxPasskeys = 8

// ShowPasskeys lists the viewer's passkeys.
func (s *Handlers) ShowPasskeys(w http.ResponseWriter, r *http.Request) error {
	return s.renderPasskeys(w, r, http.StatusOK, ui.FormState{})
}

func (s *Handlers) renderPasskeys(w http.ResponseWriter, r *http.Request, status int, a ui.FormState) error {
	me, _ := kit.ViewerOf(r).Account()
	keys, err := s.Accounts.Passkeys(r.Context(), me.ID)
	if err != nil {
		return err
	}
	p := view.NewPasskeysPage(s.Page(r, "Passkeys", ""), a)
	p.Origin, _, p.Able = s.passkeyOrigin()
	p.Full = len(keys) >= maxPasskeys
	zone := s.Zone(r)
	for _, k := range keys {
		line := view.PasskeyLine{ID: strconv.FormatInt(k.ID, 10), Name: k.Name, Made: format.Moment(k.Made, zone),
			Used: "not yet"}
		if !k.LastUsed.IsZero() {
			line.Used = format.Moment(k.LastUsed, zone)
		}
		p.Keys = append(p.Keys, line)
	}
	return s.Render(w, r, status, view.Passkeys(p))
}

// writeJSON sends a response to a script.
func writeJSON(w http.ResponseWriter, v any) error {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	return json.NewEncoder(w).Encode(v)
}

// writeFault sends a script a text to show.
func writeFault(w http.ResponseWriter, why string) error {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(http.StatusUnprocessableEntity)
	_, err := w.Write([]byte(why))
	return err
}

// BeginPasskey checks the password and asks the browser for a new passkey.
func (s *Handlers) BeginPasskey(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	ok, err := s.verifyPassword(r, me)
	if err != nil {
		return err
	}
	who, err := s.passkeyUserOf(r.Context(), me)
	switch {
	case err != nil:
		return err
	case !ok:
		return writeFault(w, wrongPassword)
	case (account.Passkey{Name: kit.NewForm(r).Text("name")}).Check() != nil:
		return writeFault(w, format.SentenceCase(account.ErrPasskeyName.Error()))
	case len(who.keys) >= maxPasskeys:
		return writeFault(w, "You have as many passkeys as this site keeps. Remove one first.")
	}
	check, err := s.relyingParty(r.Context())
	if err != nil {
		return err
	}
	options, data,
		err := check.BeginRegistration(who,
		webauthn.WithExclusions(webauthn.Credentials(who.WebAuthnCredentials()).CredentialDescriptors()))
	if err != nil {
		return err
	}
	if err := s.storeCeremony(r, newPasskeyKey, data); err != nil {
		return err
	}
	return writeJSON(w, options)
}

// AddPasskey stores the new passkey. The device has just verified its owner, which counts as
// a second step.
func (s *Handlers) AddPasskey(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	c, err := s.newCredential(r, me)
	if errors.Is(err, errPasskey) {
		s.Log.Info("passkey refused", "account", me.ID, "err", err)
		return writeFault(w, format.SentenceCase(errPasskey.Error()))
	}
	if err != nil {
		return err
	}
	public, err := json.Marshal(c)
	if err != nil {
		return err
	}
	p := account.Passkey{Account: me.ID, Handle: c.ID, Name: kit.NewForm(r).Text("name"), Public: public, Made: s.Now()}
	if err := p.Check(); err != nil {
		return writeFault(w, format.SentenceCase(err.Error()))
	}
	if err := s.Accounts.AddPasskey(r.Context(), p); err != nil {
		return err
	}
	if err := s.Accounts.SecondStepTaken(r.Context(), me.ID,
		s.Sessions.GetString(r.Context(), kit.SignInKey)); err != nil {
		return err
	}
	s.Sessions.Put(r.Context(), "flash", "Added. From now on it signs you in, without password and code.")
	return writeJSON(w, map[string]string{"to": "/account/passkeys"})
}

// RemovePasskey deletes a passkey of the viewer.
func (s *Handlers) RemovePasskey(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	f := kit.NewForm(r)
	ok, err := s.verifyPassword(r, me)
	if err != nil {
		return err
	}
	if !ok {
		f.Faults.Add("for_removal", wrongPassword)
	}
	id, err := strconv.ParseInt(f.Text("passkey"), 10, 64)
	if err != nil {
		f.Faults.Add("passkey", "Choose which.")
	}
	if len(f.Faults) > 0 {
		return s.renderPasskeys(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults))
	}
	if err := s.Accounts.RemovePasskey(r.Context(), me.ID, id); err != nil {
		return err
	}
	has, err := s.Accounts.TwoSteps(r.Context())
	if err == nil && !has[me.ID] {
		err = s.Accounts.SecondStepGone(r.Context(), me.ID)
	}
	if err != nil {
		return err
	}
	return s.SeeOther(w, r, "/account/passkeys",
		"Removed: it opens nothing any more. Delete it on the device too, so that it is not offered there.")
}

// AskPasskey asks the browser for a passkey of this site.
func (s *Handlers) AskPasskey(w http.ResponseWriter, r *http.Request) error {
	check, err := s.relyingParty(r.Context())
	if err != nil {
		return err
	}
	options, data, err := check.BeginDiscoverableLogin()
	if err != nil {
		return err
	}
	if err := s.storeCeremony(r, askPasskeyKey, data); err != nil {
		return err
	}
	return writeJSON(w, options)
}

// SignInByPasskey signs in the owner of the passkey.
func (s *Handlers) SignInByPasskey(w http.ResponseWriter, r *http.Request) error {
	a, err := s.passkeyOwner(r)
	if errors.Is(err, errPasskey) {
		s.Log.Info("passkey refused", "err", err)
		return writeFault(w, format.SentenceCase(errPasskey.Error()))
	}
	if err != nil {
		return err
	}
	if err := s.startSession(r, a, true); err != nil {
		return err
	}
	next := kit.OwnPath(r.PostFormValue("next"))
	if next == "/desk" {
		next = kit.Home(a)
	}
	return writeJSON(w, map[string]string{"to": next})
}
