package web

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/web/view"
)

// news tells the hike's decision to everybody who has or waits for a place and to the
// staff, with one reminder that waits in the outbox until it is read.
func (s *Server) news(ctx context.Context, t told, consent bool, to hearers) (hike.News, []message.Mail, error) {
	h := t.hike
	n := hike.News{Telling: hike.NewTelling(h, to.before, consent)}
	var letters []message.Mail
	tell := func(to hike.Told, letter message.Place, consent bool, entry calendar.Event) error {
		letter.Finish, letter.Where = t.finish(), t.where()
		list, err := s.tellOne(h, &to, letter, consent)
		if err == nil {
			list[0].Attach = invitation(entry)
		}
		n.To, letters = append(n.To, to), append(letters, list...)
		return err
	}
	for _, m := range h.ToldStaff(to.by) {
		as := hike.SignUp{ID: m.Person, Name: m.Name, Email: to.address[m.Account]}
		if err := tell(hike.Told{Account: m.Account}, s.letter(ctx, h, as, ""), false, calendar.Event{}); err != nil {
			return n, nil, err
		}
	}
	entries, err := s.decidedEntries(ctx, t, consent)
	if err != nil {
		return n, nil, err
	}
	for _, p := range t.signUps {
		if !p.IsTold() {
			continue
		}
		if consent && p.State == hike.Confirmed {
			p.State = hike.Offered
			n.Places = append(n.Places, p)
		}
		if err := tell(hike.Told{SignUp: p.ID}, s.letter(ctx, h, p, ""), consent && p.State == hike.Offered, entries[p.ID]); err != nil {
			return n, nil, err
		}
	}
	return n, letters, nil
}

// decidedEntries are the calendar entries of those who are told, by their place. Where all
// have to agree first, a place that was sure is not.
func (s *Server) decidedEntries(ctx context.Context, t told, consent bool) (map[string]calendar.Event, error) {
	var list []calendar.Event
	var whose []string
	for _, p := range t.signUps {
		if consent && p.State == hike.Confirmed {
			p.State = hike.Offered
		}
		if p.State == hike.Confirmed || p.State == hike.Offered {
			list, whose = append(list, s.placeEvent(ctx, t, p)), append(whose, p.ID)
		}
	}
	list, err := s.numbered(ctx, list...)
	by := map[string]calendar.Event{}
	for i, e := range list {
		by[whose[i]] = e
	}
	return by, err
}

// hearers are what there is to know of those who are told: where the staff is written to,
// who of them takes the decision, and what everybody knew before.
type hearers struct {
	by      int64
	address map[int64]string
	before  hike.Published
}

func (s *Server) hearers(r *http.Request, h hike.Hike) (hearers, error) {
	c := hearers{address: map[int64]string{}}
	t, err := s.Hikes.Trail(r.Context(), h.Trail)
	if err != nil {
		return c, err
	}
	c.before = hike.Published{Meet: h.Meet, Trail: t.Name}
	if a, ok := viewerOf(r).Account(); ok {
		c.by = int64(a.ID)
	}
	list, err := s.Accounts.Accounts(r.Context())
	for _, a := range list {
		c.address[int64(a.ID)] = a.Email
	}
	return c, err
}

// tellOne writes one person's letter and its reminder, where there is time for one, with a
// link of their own.
func (s *Server) tellOne(h hike.Hike, to *hike.Told, letter message.Place, consent bool) ([]message.Mail, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return nil, err
	}
	letter.Link, to.Link = s.BaseURL+"/told/"+secret.Reveal(), hash[:]
	d := message.Decision{Edition: fmt.Sprintf("%d-%d", h.ID, h.Decision.At.UnixMilli()), What: h.Decision.Says(), Consent: consent, Ends: h.State == hike.CalledOff}
	if d.Ends {
		d.Because = h.Decision.Reason
	}
	first, err := message.Decided(letter, d)
	remind, inTime := h.Rules().RemindAt(h.Decision.At, h.Meet)
	if err != nil || !inTime {
		return []message.Mail{first}, err
	}
	d.Again = true
	again, err := message.Decided(letter, d)
	to.Remind, to.Reminder, again.NextTry = remind, again.Key, remind
	return []message.Mail{first, again}, err
}

// hearing is what a person's link opens: what was decided, for them.
type hearing struct {
	telling hike.Telling
	to      hike.Hearer
	hike    hike.Hike
	hash    account.Hash
}

func (s *Server) hearingIn(r *http.Request) (hearing, error) {
	secret, err := account.ParseSecret(chi.URLParam(r, "secret"))
	if err != nil {
		return hearing{}, err
	}
	l := hearing{hash: secret.Hash()}
	if l.telling, l.to, err = s.Tell.ToldByLink(r.Context(), l.hash[:]); err != nil {
		return l, err
	}
	l.hike, err = s.Hikes.Hike(r.Context(), l.telling.Hike)
	return l, err
}

func (s *Server) showTold(w http.ResponseWriter, r *http.Request) error {
	l, err := s.hearingIn(r)
	if err != nil {
		return err
	}
	h, zone := l.hike, l.hike.Start.Location()
	p := view.ToldPage{
		Page: s.page(r, "What was decided", ""), URL: r.URL.Path, Hike: h.Title, Name: l.to.Name, Words: l.telling.Words,
		When: view.Day(h.Start, zone) + ", meet " + view.Clock(h.Meet, zone), By: "Decided by " + l.telling.By + " on " + view.Moment(l.telling.At, zone) + ".",
		State: view.StampOf(string(h.State)),
	}
	if t, err := s.Hikes.Trail(r.Context(), h.Trail); err == nil && h.State != hike.CalledOff {
		p.By += " Meet at " + told{trail: t}.where() + "."
	}
	if l.to.Account == 0 {
		p.State, p.Consent = view.StampOf(string(l.to.Place.State)), l.telling.Consent && l.to.Place.State == hike.Offered
	}
	if h.Decision.Says() != l.telling.Words {
		p.Later = view.NoteText{Kind: view.NoteCaution, Title: "There is later news", Text: "Since then: " + h.Decision.Says() + " Read the last mail."}
	}
	if h.State == hike.CalledOff {
		p.Reason = h.CalledOffBecause
		p.State = view.StampOf(string(h.State))
	}
	p.Private = true
	return s.render(w, r, http.StatusOK, view.Told(p))
}

// answerTold records that it was read, and what the person says to a harder trail.
func (s *Server) answerTold(w http.ResponseWriter, r *http.Request) error {
	l, err := s.hearingIn(r)
	if err != nil {
		return err
	}
	said, leaves := "Thank you: the leader sees that you have read it.", newForm(r).text("answer") == "no"
	_, err = s.Tell.MarkRead(r.Context(), l.hash[:], s.Now(), func(t hike.Telling, p *hike.SignUp) {
		if t.Consent && leaves && p.State == hike.Offered {
			p.State, said = hike.Withdrawn, "Thank you for saying so: your place is given back."
			return
		}
		p.Answer(t)
	}, s.changedMails(l.hike, actedLetter(l.to.Place.State, "")))
	if err != nil {
		return err
	}
	s.tellCars(r.Context(), l.hike.ID)
	return s.seeOther(w, r, r.URL.Path, said)
}

// toldText is how far the latest telling has come, for the staff of the hike.
func (s *Server) toldText(r *http.Request, h hike.Hike, zone *time.Location) (*view.ToldText, error) {
	list, err := s.Tell.Heard(r.Context(), h.ID)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	last := list[0]
	unread := last.Unread()
	t := &view.ToldText{Words: last.Words, When: "Told on " + view.Moment(last.At, zone) + " by " + last.By + ".",
		Read: fmt.Sprintf("%d of %d have read it.", len(last.To)-len(unread), len(last.To))}
	if len(last.To) == 0 {
		t.Read = "Nobody had or waited for a place, so nobody was told."
	}
	t.Calls = toldCalls(unread, s.staffSight(r, h), zone)
	if last.AtTrailhead() {
		t.Trailhead = trailheadWords(last, h)
		t.StandsURL, t.Stands = hikePath(h.ID)+"/stands", view.Field{Name: "stands", Label: "Who stands there", Value: last.Stands}
	}
	return t, nil
}

// toldCalls lists whom to ring, as far as the viewer may see them. Numbers of the staff are
// on every page of theirs.
func toldCalls(unread []hike.Told, sight hike.Sight, zone *time.Location) []view.ToldCall {
	var calls []view.ToldCall
	for _, p := range unread {
		staff := p.Account != 0
		if !staff && !sight.Sees(hike.KindName) {
			continue
		}
		call := view.ToldCall{Name: p.Name, Part: string(p.Role), Reminder: "no time for a reminder: ring now"}
		if staff || sight.Rings() {
			call.Phone = p.Mobile
		}
		if !p.Remind.IsZero() {
			call.Reminder = "reminder by mail " + view.Moment(p.Remind, zone)
		}
		calls = append(calls, call)
	}
	return calls
}

// trailheadWords say who stands at the trailhead, where and when.
func trailheadWords(last hike.Heard, h hike.Hike) string {
	who, end := orElse(last.Stands, "Somebody"), ""
	if last.Stands == "" {
		end = " Nobody is named for it yet."
	}
	where := "the trailhead"
	if last.Before.Trail != "" {
		where += " of " + last.Before.Trail
	}
	return fmt.Sprintf("%s stands at %s at %s, or hangs up a sign, unless all who have not read it have been reached.%s",
		who, where, view.Clock(last.StandsAt(h), h.Start.Location()), end)
}

// nameStander names who stands at the trailhead for those who may not know.
func (s *Server) nameStander(w http.ResponseWriter, r *http.Request) error {
	h, f := hikeIn(r), newForm(r)
	name, err := hike.CheckStander(f.text("stands"))
	var invalid hike.Invalid
	if errors.As(err, &invalid) {
		return s.renderHike(w, r, http.StatusUnprocessableEntity, h, answers(r, invalid))
	}
	if err := s.Tell.StandAt(r.Context(), h.ID, name); err != nil {
		return err
	}
	return s.seeOther(w, r, managePath(h.ID)+"#decision", "It is written down who stands at the trailhead.")
}

// unreadNear lists the hikes near their day whose news somebody has not read, for whoever
// looks at the board.
func (s *Server) unreadNear(r *http.Request) ([]view.BoardUnread, error) {
	now := s.Now()
	ids, err := s.Tell.Unheard(r.Context(), now.Add(-hike.NewsEnds), now.Add(hike.NewsBegins))
	if err != nil {
		return nil, err
	}
	var out []view.BoardUnread
	for _, id := range ids {
		h, err := s.Hikes.Hike(r.Context(), id)
		if err != nil {
			return nil, err
		}
		list, err := s.Tell.Heard(r.Context(), id)
		if err != nil {
			return nil, err
		}
		if len(list) > 0 && list[0].Near(h, now) && len(list[0].Unread()) > 0 {
			out = append(out, s.boardUnread(r, h, list[0]))
		}
	}
	return out, nil
}

func (s *Server) boardUnread(r *http.Request, h hike.Hike, last hike.Heard) view.BoardUnread {
	zone, unread := h.Start.Location(), last.Unread()
	u := view.BoardUnread{Hike: h.Title, When: view.ShortDay(h.Meet, zone) + ", meet " + view.Clock(h.Meet, zone), Words: last.Words}
	u.Told.Read = view.Count(len(unread), "person has", "people have") + " not said that they know."
	u.Told.Calls = toldCalls(unread, s.staffSight(r, h), zone)
	if last.AtTrailhead() {
		u.Told.Trailhead = trailheadWords(last, h)
	}
	if account.May(viewerOf(r), account.ManageHike, s.subjectOf(h)) == nil {
		u.URL = managePath(h.ID) + "#decision"
	}
	return u
}
