package accounts

import (
	"net"
	"net/http"
	"net/netip"
	"strings"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// networkOf returns the block of addresses of a request: enough to distinguish home from
// abroad, but not a household. Behind a proxy it is that of the proxy.
func networkOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	at, err := netip.ParseAddr(host)
	if err != nil {
		return "not known"
	}
	at = at.Unmap().WithZone("")
	switch {
	case at.IsLoopback():
		return "this machine"
	case at.Is4():
		return blockOf(at, 24)
	}
	return blockOf(at, 48)
}

func blockOf(at netip.Addr, bits int) string {
	block, err := at.Prefix(bits)
	if err != nil {
		return "not known"
	}
	return block.String()
}

// ShowAccount is the viewer's own account.
func (s *Handlers) ShowAccount(w http.ResponseWriter, r *http.Request) error {
	return s.renderAccount(w, r, http.StatusOK, ui.FormState{}, "")
}

func (s *Handlers) renderAccount(w http.ResponseWriter, r *http.Request, status int, a ui.FormState,
	feed string) error {
	me, _ := kit.ViewerOf(r).Account()
	list, err := s.Accounts.SignIns(r.Context(), me.ID, s.Now())
	if err != nil {
		return err
	}
	zone, here := s.Zone(r), s.Sessions.GetString(r.Context(), kit.SignInKey)
	p := view.AccountPage{Page: s.Page(r, "Your account", ""), Name: me.Name, Email: me.Email,
		Roles: personLine(me).Roles, Phone: me.Phone}
	if p.Second, err = s.secondStepText(r, me); err != nil {
		return err
	}
	keys, err := s.Accounts.Passkeys(r.Context(), me.ID)
	if err != nil {
		return err
	}
	p.Passkeys = "None. A passkey on your phone stands for password and code together."
	if len(keys) > 0 {
		p.Passkeys = format.Count(len(keys), "passkey opens", "passkeys open") + " your account."
	}
	if p.Feeds, err = s.feedsText(r, me, a, feed); err != nil {
		return err
	}
	p.Current, p.Password = view.NewPasswordChange(a)
	p.FamilyName, p.FamilyPhone = familyFields(me, a)
	for _, x := range list {
		line := view.SignInLine{Device: x.Device, Network: x.Network, Began: format.Moment(x.Began, zone),
			Seen: format.Moment(x.LastSeen, zone), Here: x.ID == here}
		line.End = ui.ButtonText{Label: "End", URL: "/account/sign-ins/" + x.ID + "/end",
			About: x.Device + ", since " + line.Began}
		p.SignIns = append(p.SignIns, line)
	}
	return s.Render(w, r, status, view.Account(p))
}

// secondStepText describes the account's second step.
func (s *Handlers) secondStepText(r *http.Request, me account.Account) (string, error) {
	t, err := s.Accounts.TwoStep(r.Context(), me.ID)
	if t.On() {
		return "On since " + format.Day(t.Since, s.Zone(r)) +
			": after your password a code from your phone is asked for. " +
			format.Count(len(t.Recovery), "recovery code is", "recovery codes are") + " left.", err
	}
	return "Off: your password alone opens your account.", err
}

// ChangePassword requires the current password, so that an unattended screen is not enough,
// and signs out every other browser.
func (s *Handlers) ChangePassword(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	f := kit.NewForm(r)
	ok, err := s.Hasher.Verify(r.Context(), r.PostFormValue("current"), me.PasswordHash)
	if err != nil {
		return err
	}
	if !ok {
		f.Faults.Add("current", "This is not your password.")
	}
	readPassword(f, me)
	if len(f.Faults) > 0 {
		return s.renderAccount(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, f.Faults), "")
	}
	hash, err := s.Hasher.Hash(r.Context(), r.PostFormValue("password"))
	if err != nil {
		return err
	}
	if err := s.Accounts.SetPassword(r.Context(), me.ID, hash); err != nil {
		return err
	}
	if err := s.Accounts.RemoveLinks(r.Context(), account.NewPasswordTarget(me.ID)); err != nil {
		return err
	}
	if err := s.endOthers(r, me); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/account", "Your password is changed. Every other browser is signed out.")
}

func (s *Handlers) endOthers(r *http.Request, me account.Account) error {
	return s.Accounts.EndSignIns(r.Context(), me.ID, s.Sessions.GetString(r.Context(), kit.SignInKey))
}

// EndSignIn signs out one browser of the viewer.
func (s *Handlers) EndSignIn(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	if err := s.Accounts.EndSignIn(r.Context(), me.ID, chi.URLParam(r, "signin")); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/account#sign-ins", "Ended. That browser is signed out.")
}

// EndOtherSignIns signs out all other browsers of the viewer.
func (s *Handlers) EndOtherSignIns(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	if err := s.endOthers(r, me); err != nil {
		return err
	}
	return s.SeeOther(w, r, "/account#sign-ins", "Every other browser is signed out.")
}

// agentOf returns the User-Agent header, shortened.
func agentOf(r *http.Request) string {
	const longest = 400 // Our judgment: no browser sends a longer one.
	agent := r.UserAgent()
	return strings.ToValidUTF8(agent[:min(len(agent), longest)], "")
}
