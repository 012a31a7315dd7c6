package watch

import (
	"context"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/team"
)

// familiesOf loads whom to phone for each of the staff, if the viewer may see contacts.
func (s *Handlers) familiesOf(
	ctx context.Context, h hike.Hike, visibility privacy.Visibility,
) (map[ref.Account]account.Family, error) {
	if !visibility.CanSee(privacy.KindContact) {
		return nil, nil
	}
	list, err := s.Accounts.Accounts(ctx)
	if err != nil {
		return nil, err
	}
	families := map[ref.Account]account.Family{}
	for _, a := range list {
		if _, on := hike.MemberOf(h, a.ID); on && a.Family.Words() != "" {
			families[a.ID] = a.Family
		}
	}
	return families, nil
}

// familyLine is whom to phone for one of the staff. It says so where nobody is named.
func (x watchData) familyLine(m team.Staff) (format.Line, bool) {
	if !x.visibility.CanSee(privacy.KindContact) {
		return format.Line{}, false
	}
	line := format.Line{Label: "Family of " + m.Name}
	f, named := x.staffFamilies[m.Account]
	if !named {
		line.Note = "No family contact is on file."
		return line, m.Role == team.Leader
	}
	line.Value, line.URL = f.Words(), "tel:"+f.Phone
	return line, true
}
