package web

import (
	"context"
	"crypto/rand"
	"fmt"
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"

	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/web/view"
)

// news tells the hike's decision to everybody who has or waits for a place, with one
// reminder that waits in the outbox until it is read.
func (s *Server) news(ctx context.Context, h hike.Hike, places []hike.SignUp, consent bool) (hike.News, []message.Mail, error) {
	n := hike.News{Telling: hike.NewTelling(h, consent)}
	var letters []message.Mail
	remind, inTime := h.Rules().RemindAt(h.Decision.At, h.Meet)
	for _, p := range places {
		if !p.IsTold() {
			continue
		}
		if consent && p.State == hike.Confirmed {
			p.State = hike.Offered
			n.Places = append(n.Places, p)
		}
		to, list, err := s.tellOne(ctx, h, p, consent && p.State == hike.Offered)
		if err != nil {
			return n, nil, err
		}
		if inTime {
			to.Remind, to.Reminder = remind, list[1].Key
			list[1].NextTry = remind
		} else {
			list = list[:1]
		}
		n.To, letters = append(n.To, to), append(letters, list...)
	}
	return n, letters, nil
}

// tellOne writes one person's letter and its reminder, with a link of their own.
func (s *Server) tellOne(ctx context.Context, h hike.Hike, p hike.SignUp, consent bool) (hike.Told, []message.Mail, error) {
	secret, hash, err := account.NewLink(rand.Reader)
	if err != nil {
		return hike.Told{}, nil, err
	}
	letter := s.letter(ctx, h, p, s.BaseURL+"/told/"+secret.Reveal())
	d := message.Decision{Edition: fmt.Sprintf("%d-%d", h.ID, h.Decision.At.UnixMilli()), What: h.Decision.Says(), Consent: consent, Ends: h.State == hike.CalledOff}
	if d.Ends {
		d.Because = h.Decision.Reason
	}
	first, err := message.Decided(letter, d)
	if err != nil {
		return hike.Told{}, nil, err
	}
	d.Again = true
	again, err := message.Decided(letter, d)
	return hike.Told{SignUp: p.ID, Link: hash[:]}, []message.Mail{first, again}, err
}

// hearing is what a person's link opens: what was decided, for them.
type hearing struct {
	telling hike.Telling
	place   hike.SignUp
	hike    hike.Hike
	hash    account.Hash
}

func (s *Server) hearingIn(r *http.Request) (hearing, error) {
	secret, err := account.ParseSecret(chi.URLParam(r, "secret"))
	if err != nil {
		return hearing{}, err
	}
	l := hearing{hash: secret.Hash()}
	if l.telling, l.place, err = s.Tell.ToldByLink(r.Context(), l.hash[:]); err != nil {
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
		Page: s.page(r, "What was decided", ""), URL: r.URL.Path, Hike: h.Title, Name: l.place.Name, Words: l.telling.Words,
		When: view.Day(h.Start, zone) + ", meet " + view.Clock(h.Meet, zone), By: "Decided by " + l.telling.By + " on " + view.Moment(l.telling.At, zone) + ".",
		State: view.StampOf(string(l.place.State)), Consent: l.telling.Consent && l.place.State == hike.Offered,
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
	err = s.Tell.MarkRead(r.Context(), l.hash[:], s.Now(), func(t hike.Telling, p *hike.SignUp) {
		if t.Consent && leaves && p.State == hike.Offered {
			p.State, said = hike.Withdrawn, "Thank you for saying so: your place is given back."
			return
		}
		p.Answer(t)
	})
	if err != nil {
		return err
	}
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
	sight := s.staffSight(r, h)
	for _, p := range unread {
		if !sight.Sees(hike.KindName) {
			break
		}
		call := view.ToldCall{Name: p.Name, Reminder: "no time for a reminder: ring now"}
		if sight.Rings() {
			call.Phone = p.Mobile
		}
		if !p.Remind.IsZero() {
			call.Reminder = "reminder by mail " + view.Moment(p.Remind, zone)
		}
		t.Calls = append(t.Calls, call)
	}
	if last.AtTrailhead() {
		t.Trailhead = "Somebody stands at the trailhead at " + view.Clock(h.Meet, zone) + ", or hangs up a sign, unless all of them have been reached."
	}
	return t, nil
}
