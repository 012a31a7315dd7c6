package kit

import (
	"context"
	"encoding/hex"
	"errors"
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/ref"
)

// DayKeyOf is where a browser's session keeps the link for the day of a hike.
func DayKeyOf(id ref.Hike) string { return "day " + id.String() }

// withDayLink adds the link for the day that the browser keeps for the hike, if it does.
// A link that has ended is an error only to those who have nothing else to show.
func (s *Kit) withDayLink(r *http.Request, id ref.Hike) (*http.Request, error) {
	kept, err := hex.DecodeString(s.Sessions.GetString(r.Context(), DayKeyOf(id)))
	if err != nil || len(kept) == 0 {
		return r, nil
	}
	hash, err := account.HashFromBytes(kept)
	if err != nil {
		return r, err
	}
	link, err := s.accounts.DayLinkByHash(r.Context(), hash)
	if err == nil {
		err = link.Check(s.Now())
	}
	viewer := ViewerOf(r)
	if _, signedIn := viewer.Account(); err != nil && signedIn {
		return r, nil
	}
	if err != nil {
		return r, err
	}
	if err := s.accounts.DayLinkUsed(r.Context(), link.ID, s.Now()); err != nil {
		return r, err
	}
	ctx := context.WithValue(r.Context(), viewerKey, viewer.WithLink(link.Link()))
	return r.WithContext(context.WithValue(ctx, dayKey, link)), nil
}

// dayLinkIn is the link for the day by which the viewer came; false for who has signed in.
func dayLinkIn(r *http.Request) (account.DayLink, bool) {
	if _, signedIn := ViewerOf(r).Account(); signedIn {
		return account.DayLink{}, false
	}
	l, ok := r.Context().Value(dayKey).(account.DayLink)
	return l, ok
}

// endedLink tells whether the error is that of a link for the day that has ended.
func endedLink(err error) bool {
	return errors.Is(err, account.ErrLinkWithdrawn) || errors.Is(err, account.ErrLinkExpired) || errors.Is(err, account.ErrNotFound)
}
