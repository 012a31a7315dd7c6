package accounts

import (
	"errors"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/signup"
	"saltbush/web/accounts/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// familyFields ask for the viewer's family contact, beginning with the stored one.
func familyFields(me account.Account, a ui.FormState) (name, phone ui.Field) {
	if _, sent := a.Values["family_name"]; !sent {
		a.Values = map[string][]string{"family_name": {me.Family.Name}, "family_phone": {me.Family.Phone}}
	}
	return view.NewFamily(a)
}

// SetFamily stores whom on-call phones for the viewer. Two empty fields delete it.
func (s *Handlers) SetFamily(w http.ResponseWriter, r *http.Request) error {
	me, _ := kit.ViewerOf(r).Account()
	f := kit.NewForm(r)
	family := account.Family{Name: f.Text("family_name"), Phone: f.Text("family_phone")}
	err := family.Check(signup.RegionOf(s.Zone(r).String()))
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderAccount(w, r, http.StatusUnprocessableEntity, kit.FormStateOf(r, invalid), "")
	}
	if err := s.Accounts.SetFamily(r.Context(), me.ID, family); err != nil {
		return err
	}
	said := "Saved. On-call sees it on the watch page of your hikes."
	if family.Words() == "" {
		said = "Deleted."
	}
	return s.SeeOther(w, r, "/account", said)
}
