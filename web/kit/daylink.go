package kit

import (
	"encoding/hex"
	"errors"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/ref"
)

// DayKeyOf returns the key under which a browser's session keeps the link for the day of a hike.
func DayKeyOf(id ref.Hike) string { return "day " + id.String() }

// addDayLink adds the link for the day that the browser keeps for the hike, if it keeps one.
// A link that has ended is an error only where the viewer has nothing else to show.
func (s *Kit) addDayLink(r *http.Request, known *Request) error {
	stored, err := hex.DecodeString(s.Sessions.GetString(r.Context(), DayKeyOf(known.Hike.ID)))
	if err != nil || len(stored) == 0 {
		return nil
	}
	hash, err := account.HashFromBytes(stored)
	if err != nil {
		return err
	}
	link, err := s.accounts.DayLinkByHash(r.Context(), hash)
	if err == nil {
		err = link.Check(s.Now())
	}
	if _, signedIn := known.Viewer.Account(); err != nil && signedIn {
		return nil
	}
	if err != nil {
		return err
	}
	if err := s.accounts.DayLinkUsed(r.Context(), link.ID, s.Now()); err != nil {
		return err
	}
	known.DayLink, known.Viewer = &link, known.Viewer.WithLink(link.Link())
	return nil
}

// endedLink reports whether the error is that of a link for the day that has ended.
func endedLink(err error) bool {
	return errors.Is(err, account.ErrLinkWithdrawn) || errors.Is(err, account.ErrLinkExpired) ||
		errors.Is(err, account.ErrNotFound)
}
