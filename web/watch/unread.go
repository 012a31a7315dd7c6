package watch

import (
	"net/http"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/web/kit"
	"saltbush/web/watch/view"
)

// unreadNear lists the hikes near their day with an update that somebody has not read.
func (s *Handlers) unreadNear(r *http.Request) ([]view.BoardUnread, error) {
	now := s.Now()
	ids, err := s.Announcements.HikesWithUnread(r.Context(), now.Add(-hike.NewsEnds), now.Add(hike.NewsBegins))
	if err != nil {
		return nil, err
	}
	var out []view.BoardUnread
	for _, id := range ids {
		h, err := s.Hikes.Hike(r.Context(), id)
		if err != nil {
			return nil, err
		}
		list, err := s.Announcements.Announcements(r.Context(), id)
		if err != nil {
			return nil, err
		}
		if len(list) > 0 && list[0].Near(h, now) && len(list[0].Unread()) > 0 {
			out = append(out, s.boardUnread(r, h, list[0]))
		}
	}
	return out, nil
}

func (s *Handlers) boardUnread(r *http.Request, h hike.Hike, last hike.AnnouncementStatus) view.BoardUnread {
	zone, unread := h.Start.Location(), last.Unread()
	u := view.BoardUnread{Hike: h.Title, When: format.ShortDay(h.Meet, zone) + ", meet " + format.Clock(h.Meet, zone),
		Words: last.Words}
	u.Told.Read = format.Count(len(unread), "person has", "people have") + " not said that they know."
	u.Told.Calls = kit.AnnouncementCalls(unread, s.StaffVisibility(r, h), zone)
	if last.AtTrailhead() {
		u.Told.Trailhead = kit.TrailheadWords(last, h)
	}
	if account.May(kit.ViewerOf(r), account.ManageHike, s.SubjectOf(h)) == nil {
		u.URL = paths.Manage(h.ID) + "#decision"
	}
	return u
}
