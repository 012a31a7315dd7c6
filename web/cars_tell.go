package web

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// errNothingNew ends a look at the cars that found nobody to tell.
var errNothingNew = errors.New("nothing new")

// carNews is one person whose part has changed, to be written to.
type carNews struct {
	who     hike.Traveller
	says    []string
	times   int
	changed bool
}

// tellCars works the cars out anew, and writes to those whose part is not what they were
// told last. Before a leader has told the plan nobody is written to. It is asked for after
// every change and from time to time; what cannot be told now is told then.
func (s *Notifier) tellCars(ctx context.Context, id hike.HikeID) {
	if err := s.tellCarsOf(ctx, id); err != nil && ctx.Err() == nil {
		s.Log.Error("tell the cars", "hike", id, "err", err)
	}
}

func (s *Notifier) tellCarsOf(ctx context.Context, id hike.HikeID) error {
	book, err := s.Rides.RideBook(ctx, id)
	if err != nil || book.Opened.IsZero() {
		return err
	}
	h, err := s.Hikes.Hike(ctx, id)
	if err != nil {
		return err
	}
	t := told{now: s.Now()}
	if t.trail, err = s.Hikes.Trail(ctx, h.Trail); err != nil {
		return err
	}
	var news []carNews
	var c cars
	err = s.Rides.ChangeRides(ctx, id, func(h hike.Hike, places []hike.SignUp, b *hike.RideBook) error {
		t.hike, t.signUps = h, places
		if h.State != hike.Posted || !s.Now().Before(h.Start) || h.Trail != t.trail.ID {
			return errNothingNew
		}
		c = newCars(t, *b)
		if news, err = c.news(b); err == nil && len(news) == 0 {
			err = errNothingNew
		}
		return err
	})
	if errors.Is(err, errNothingNew) {
		return nil
	}
	if err != nil {
		return err
	}
	return s.writeCars(ctx, c, news)
}

// news finds whose part is not what they were told last, and notes in the book that they
// are told now. A child hears it from its adult; whoever comes alone and was told nothing
// has nothing to hear.
func (c cars) news(b *hike.RideBook) ([]carNews, error) {
	var list []carNews
	for _, t := range c.people {
		p, was := c.rides.PartOf(t), b.Told[t.ID]
		now, err := c.fingerprint(p)
		if err != nil {
			return nil, err
		}
		if t.Minor || was.Part == now || was.Times == 0 && !p.Shared() {
			continue
		}
		was.Part = now
		was.Times++
		b.Told[t.ID] = was
		n := carNews{who: t, times: was.Times, changed: was.Times > 1}
		for _, l := range c.says(t, false) {
			n.says = append(n.says, l.Label+": "+l.Value+". "+l.Note)
		}
		list = append(list, n)
	}
	return list, nil
}

// fingerprint is what a part comes to: another one is another mail.
func (c cars) fingerprint(p hike.Part) (string, error) {
	of := struct {
		hike.Part
		Lot, At string `json:",omitempty"`
	}{Part: p}
	if p.Own == hike.StandsAtEnd || p.Own == hike.FerriesToHead {
		atEnd, _ := c.book.Shuttle.ShuttleTimes(c.hike)
		of.Lot, of.At = c.endLot(), format.Clock(atEnd, c.zone())
	}
	text, err := json.Marshal(of)
	return string(text), err
}

// writeCars writes the letters, each with a link to where the part stands.
func (s *Notifier) writeCars(ctx context.Context, c cars, news []carNews) error {
	addresses, err := s.addresses(ctx, c.hike)
	if err != nil {
		return err
	}
	places := map[string]hike.SignUp{}
	for _, p := range c.signUps {
		places[p.ID] = p
	}
	for _, n := range news {
		link, p := s.BaseURL+carsPath(c.hike.ID), hike.SignUp{ID: n.who.ID, Name: n.who.Name, Email: addresses[n.who.ID]}
		if !n.who.Staff {
			p = places[n.who.ID]
			secret, hash, err := account.NewLink(rand.Reader)
			if err != nil {
				return err
			}
			if err := s.Accounts.AddLink(ctx, account.Link{Hash: hash, Purpose: account.Place, Subject: p.ID, Expires: c.hike.Start}); err != nil {
				return err
			}
			link = s.BaseURL + placePath(secret)
		}
		m, err := message.Cars(s.letter(ctx, c.hike, p, link), message.CarPart{Edition: fmt.Sprint(n.times), Says: n.says, Changed: n.changed})
		s.send(ctx, m, err)
	}
	return nil
}

// addresses are where the staff of a hike is written to, by their IDs on the roll.
func (s *Notifier) addresses(ctx context.Context, h hike.Hike) (map[string]string, error) {
	list, err := s.Accounts.Accounts(ctx)
	of := map[string]string{}
	for _, a := range list {
		for _, m := range h.Staff {
			if m.Account == int64(a.ID) {
				of[m.Person] = a.Email
			}
		}
	}
	return of, err
}
