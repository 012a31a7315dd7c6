package hikes

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/web/hikes/view"
	"saltbush/web/kit"
	"saltbush/web/ui"
)

// announcementContext returns who decides, and everybody's address.
func (s *Handlers) announcementContext(r *http.Request) (notify.AnnouncementContext, error) {
	c := notify.AnnouncementContext{Address: map[ref.Account]string{}}
	if a, ok := kit.ViewerOf(r).Account(); ok {
		c.By = a.ID
	}
	list, err := s.Accounts.Accounts(r.Context())
	for _, a := range list {
		c.Address[a.ID] = a.Email
	}
	return c, err
}

// openedAnnouncement is an announcement opened by one reader's link.
type openedAnnouncement struct {
	telling hike.Announcement
	to      hike.Reader
	hike    hike.Hike
	hash    account.Hash
}

func (s *Handlers) openAnnouncement(r *http.Request) (openedAnnouncement, error) {
	secret, err := account.ParseSecret(chi.URLParam(r, "secret"))
	if err != nil {
		return openedAnnouncement{}, err
	}
	l := openedAnnouncement{hash: secret.Hash()}
	if l.telling, l.to, err = s.Announcements.AnnouncementByLink(r.Context(), l.hash[:]); err != nil {
		return l, err
	}
	l.hike, err = s.Hikes.Hike(r.Context(), l.telling.Hike)
	return l, err
}

// ShowAnnouncement shows one reader what was decided.
func (s *Handlers) ShowAnnouncement(w http.ResponseWriter, r *http.Request) error {
	l, err := s.openAnnouncement(r)
	if err != nil {
		return err
	}
	h, zone := l.hike, l.hike.Start.Location()
	p := view.AnnouncementPage{
		Page: s.Page(r, "What was decided", ""), URL: r.URL.Path, Hike: h.Title, Name: l.to.Name,
		Words: l.telling.Words,
		When:  format.Day(h.Start, zone) + ", meet " + format.Clock(h.Meet, zone),
		By:    "Decided by " + l.telling.By + " on " + format.Moment(l.telling.At, zone) + ".",
		State: ui.StampOf(string(h.State)),
	}
	t, err := s.LoadHikeData(r.Context(), h)
	if err != nil {
		return err
	}
	if h.State != hike.CalledOff {
		p.By += " Meet at " + t.Where() + "."
	}
	if h.Changed.At.Equal(l.telling.At) || h.Changed.Since(l.telling.At) {
		p.Changed = kit.ChangedWhy(t, "What is different", p.Units)
	}
	if h.Changed.At.Equal(l.telling.At) { // the head of the page says the words
		p.Changed.Text = strings.TrimSpace(strings.TrimPrefix(p.Changed.Text, h.Changed.Words))
	}
	if l.to.Account == 0 {
		answerable(&p, l)
	}
	if h.Decision.Says() != l.telling.Words {
		p.Later = ui.NoteText{Kind: ui.NoteCaution, Title: "There is later news",
			Text: "Since then: " + h.Decision.Says() + " Read the last mail."}
	}
	if h.State == hike.CalledOff {
		p.Reason = h.CalledOffBecause
		p.State = ui.StampOf(string(h.State))
	}
	p.Private = true
	return s.Render(w, r, http.StatusOK, view.Announcement(p))
}

// answerable shows the reader's place and what they can answer.
func answerable(p *view.AnnouncementPage, l openedAnnouncement) {
	place := l.to.Place
	p.State = ui.StampOf(string(place.State))
	if !l.telling.MayLeave(place) {
		return
	}
	p.Consent = l.telling.Consent && place.State == signup.Offered
	p.Leave = true
	if l.telling.Consent && place.State == signup.Asked {
		p.Talk = ui.NoteText{Kind: ui.NoteCaution, Title: "The leader would like a word with you first",
			Text:   "The walk asks more than before. It is a talk, not an examination, about this:",
			Points: place.Screening.Talk}
	}
}

// AnswerAnnouncement records that the reader has read it, and whether they come.
func (s *Handlers) AnswerAnnouncement(w http.ResponseWriter, r *http.Request) error {
	l, err := s.openAnnouncement(r)
	if err != nil {
		return err
	}
	said, leaves := "Thank you: the leader sees that you have read it.", kit.NewForm(r).Text("answer") == "no"
	if leaves && l.to.Account == 0 && l.telling.MayLeave(l.to.Place) {
		if err := s.withdrawChildren(r, l); err != nil {
			return err
		}
	}
	_, err = s.Announcements.MarkRead(r.Context(), l.hash[:], s.Now(), func(t hike.Announcement, p *signup.SignUp) {
		if leaves && t.MayLeave(*p) && p.Withdraw() == nil {
			said = "Thank you for saying so: your place is given back."
			return
		}
		hike.AnswerAnnouncement(p, t)
	}, s.notify.ChangedMails(l.hike, notify.ActedLetter(l.to.Place.State, "")))
	if err != nil {
		return err
	}
	s.notify.NotifyRides(r.Context(), l.hike.ID)
	return s.SeeOther(w, r, r.URL.Path, said)
}

// withdrawChildren gives back the places of the children whom the reader answers for: no child
// walks without its adult.
func (s *Handlers) withdrawChildren(r *http.Request, l openedAnnouncement) error {
	all, err := s.Hikes.SignUps(r.Context(), l.hike.ID)
	if err != nil {
		return err
	}
	for _, child := range signup.Charges(l.to.Place, all, l.hike.Staff) {
		_, err := s.Hikes.ChangeSignUp(r.Context(), child.ID, s.Now(), (*signup.SignUp).Withdraw,
			s.notify.ChangedMails(l.hike, notify.ActedLetter(child.State, "")))
		if err != nil {
			return err
		}
	}
	return nil
}

// announcementText tells the staff of the hike who has read the latest announcement.
func (s *Handlers) announcementText(r *http.Request, h hike.Hike, zone *time.Location) (*ui.AnnouncementText, error) {
	list, err := s.Announcements.Announcements(r.Context(), h.ID)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	last := list[0]
	unread := last.Unread()
	t := &ui.AnnouncementText{Words: last.Words,
		When: "Told on " + format.Moment(last.At, zone) + " by " + last.By + ".",
		Read: fmt.Sprintf("%d of %d have read it.", len(last.To)-len(unread), len(last.To))}
	if len(last.To) == 0 {
		t.Read = "Nobody had or waited for a place, so nobody was told."
	}
	t.Calls = kit.AnnouncementCalls(unread, s.StaffVisibility(r, h), zone)
	if last.AtTrailhead() {
		t.Trailhead = kit.TrailheadWords(last, h)
		t.StandsURL, t.Stands = paths.Hike(h.ID)+"/stands",
			ui.Field{Name: "stands", Label: "Who stands there", Value: last.Stands}
	}
	return t, nil
}

// NamePersonAtTrailhead stores who waits at the trailhead for those who may not know of the
// decision.
func (s *Handlers) NamePersonAtTrailhead(w http.ResponseWriter, r *http.Request) error {
	h, f := kit.HikeIn(r), kit.NewForm(r)
	name, err := hike.CheckStander(f.Text("stands"))
	var invalid fault.Invalid
	if errors.As(err, &invalid) {
		return s.renderHike(w, r, http.StatusUnprocessableEntity, h, kit.FormStateOf(r, invalid))
	}
	if err := s.Announcements.StandAt(r.Context(), h.ID, name); err != nil {
		return err
	}
	return s.SeeOther(w, r, paths.Manage(h.ID)+"#decision", "It is written down who stands at the trailhead.")
}
