package hikes

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/staffing"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// staffOnDesk lists what is open about the viewer as staff, and for coordinators about everybody.
func (s *Handlers) staffOnDesk(r *http.Request, now time.Time) ([]ui.NoteText, error) {
	me, _ := kit.ViewerOf(r).Account()
	b, err := s.Book(r.Context(), now, staffing.GapsAhead)
	if err != nil {
		return nil, err
	}
	today := unit.DateOf(now.In(s.Zone(r)))
	var mine, papers, all []string
	for _, l := range b.Listed {
		if m, on := hike.MemberOf(l.Hike, me.ID); on && !m.Accepted() && l.Hike.Start.After(now) &&
			(l.Hike.State == hike.Draft || l.Hike.State == hike.Posted) {
			mine = append(mine, fmt.Sprintf("%s, %s, as %s.", l.Hike.Title,
				format.ShortDay(l.Hike.Start, l.Hike.Start.Location()), m.Role))
		}
	}
	for _, x := range b.Reminders(now, today) {
		if x.Account == me.ID {
			papers = append(papers, x.Says())
		} else if kit.Coordinates(r) {
			all = append(all, x.Says())
		}
	}
	var notes []ui.NoteText
	for _, n := range []ui.NoteText{
		{Kind: ui.NoteCaution, Title: "You are asked, and have not answered: see My part", Points: mine},
		{Kind: ui.NoteCaution, Title: "Your certificates", Points: papers},
		{Title: "Certificates of others: see Staff", Points: all},
	} {
		if len(n.Points) > 0 {
			notes = append(notes, n)
		}
	}
	return notes, nil
}

// withStaffRule applies a rule about the staff before one of the hike, under the same lock. It
// loads the records before that, so that nobody waits for a connection while holding the lock.
func (s *Handlers) withStaffRule(r *http.Request, rule func(staffing.Crew) error,
	then func(*hike.Hike) error) func(*hike.Hike) error {
	c, _, broken := s.CrewOf(r.Context(), kit.HikeIn(r))
	return func(h *hike.Hike) error {
		if broken != nil {
			return broken
		}
		c.Hike = *h
		if err := rule(c); err != nil {
			return err
		}
		return then(h)
	}
}

// staffOnPage adds to the page of a hike what is wrong with its staff.
func (s *Handlers) staffOnPage(r *http.Request, p *view.HikePage, h hike.Hike, a ui.FormState) {
	p.StaffingURL = paths.Staffing(h.ID)
	if h.State != hike.Draft && h.State != hike.Posted {
		return
	}
	c, _, err := s.CrewOf(r.Context(), h)
	if err != nil {
		s.Log.Error("staff of a hike", "hike", h.ID, "err", err)
		return
	}
	p.StaffWarnings = c.Warnings()
	p.OnCallReason = onCallReason(h, kit.FormAnswers(r, "on-call-override", a))
	declines, err := s.Staff.Declines(r.Context(), h.ID)
	if err != nil {
		s.Log.Error("declines of a hike", "hike", h.ID, "err", err)
	}
	for _, d := range h.OpenAfter(declines) {
		p.StaffWarnings = append(p.StaffWarnings, d.Says()+" ("+format.Moment(d.At, h.Start.Location())+").")
	}
	if why := c.Provisional(); why != "" {
		p.StaffWarnings = append(p.StaffWarnings, "Provisional: "+why+".")
	}
	var refusal fault.Refusal
	if errors.As(c.MayPost(), &refusal) && p.Post.Can {
		p.Post = view.PostText{Refused: string(refusal)}
	}
}

// onCallReason asks why a hike goes without anybody on call who can be reached; it has no name where
// nobody needs to say.
func onCallReason(h hike.Hike, a ui.FormState) ui.Field {
	if h.OnCallGap() == "" || h.OnCallOverride.Made() {
		return ui.Field{}
	}
	return view.NewOnCallReason(a)
}

// missingText says what a hike still lacks that is being posted. It may be posted all the same.
func (s *Handlers) missingText(r *http.Request, g trail.Ground) string {
	h := kit.HikeIn(r)
	c, _, err := s.CrewOf(r.Context(), h)
	if err != nil {
		s.Log.Error("staff of a hike", "hike", h.ID, "err", err)
		return ""
	}
	var list []string
	for _, x := range c.GapsOf(unit.DateOf(s.Now().In(h.Start.Location()))) {
		if x.Severity != staffing.Watchful {
			list = append(list, format.SentenceCase(x.What)+": "+x.Says)
		}
	}
	if n := groundNote(g, h); n.Kind != ui.NotePlain {
		list = append(list, n.Title+".")
	}
	if len(list) == 0 {
		return ""
	}
	return " It is not ready yet. " + strings.Join(list, " ")
}

// schedulingWarnings says what is wrong with the staff of a hike that was just scheduled.
func (s *Handlers) schedulingWarnings(r *http.Request, id ref.Hike) string {
	h, err := s.Hikes.Hike(r.Context(), id)
	if err != nil {
		return ""
	}
	c, _, err := s.CrewOf(r.Context(), h)
	if err != nil {
		s.Log.Error("staff of a hike", "hike", id, "err", err)
		return ""
	}
	if w := c.Warnings(); len(w) > 0 {
		return " About its staff: " + strings.Join(w, " ")
	}
	return ""
}
