package notify

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/paths"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
)

// errNothingNew ends a change of the ride book in which nobody's part changed.
var errNothingNew = errors.New("nothing new")

// rideNews is one person whose part in the rides has changed.
type rideNews struct {
	traveller ride.Traveller
	lines     []string
	times     int // how often they have been written to, this time included
}

// NotifyRides plans the rides of a hike again, and writes to everybody whose part is not
// what their last mail said. Nobody is written to before a leader has published the rides.
// It runs after every change and from time to time, so errors are logged: the next run
// catches up.
func (n *Notifier) NotifyRides(ctx context.Context, id ref.Hike) {
	if err := n.notifyRides(ctx, id); err != nil && ctx.Err() == nil {
		n.log.Error("tell the cars", "hike", id, "err", err)
	}
}

func (n *Notifier) notifyRides(ctx context.Context, id ref.Hike) error {
	book, err := n.rides.RideBook(ctx, id)
	if err != nil || book.Opened.IsZero() {
		return err
	}
	h, err := n.store.Hike(ctx, id)
	if err != nil {
		return err
	}
	t := hike.Data{Now: n.now()}
	if t.Trail, err = n.store.Trail(ctx, h.Trail); err != nil {
		return err
	}
	var news []rideNews
	var c Cars
	err = n.rides.ChangeRides(ctx, id, func(h hike.Hike, places []signup.SignUp, b *ride.Book) error {
		t.Hike, t.SignUps, t.Trail = h, places, h.On(t.Trail)
		if h.State != hike.Posted || !n.now().Before(h.Start) || h.Trail != t.Trail.ID {
			return errNothingNew
		}
		c = NewCars(t, *b)
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
	return n.sendRideNews(ctx, c, news)
}

// news finds everybody whose part is not what their last mail said, and marks them in the
// book as written to. Children are left out: their adult gets the mail. So are people who
// come alone and were never written to.
func (c Cars) news(b *ride.Book) ([]rideNews, error) {
	var list []rideNews
	for _, t := range c.People {
		part, last := c.Rides.PartOf(t), b.Told[t.ID]
		now, err := c.fingerprint(part)
		if err != nil {
			return nil, err
		}
		if t.Minor || last.Part == now || last.Times == 0 && !part.Shared() {
			continue
		}
		last.Part = now
		last.Times++
		b.Told[t.ID] = last
		news := rideNews{traveller: t, times: last.Times}
		for _, l := range c.PartLines(t, false) {
			news.lines = append(news.lines, l.Label+": "+l.Value+". "+l.Note)
		}
		list = append(list, news)
	}
	return list, nil
}

// fingerprint is the part as JSON, which the book stores: a different one means a new mail.
func (c Cars) fingerprint(p ride.Part) (string, error) {
	of := struct {
		ride.Part
		Lot, At string `json:",omitempty"`
	}{Part: p}
	if p.Own == ride.StandsAtEnd || p.Own == ride.FerriesToHead {
		atEnd, _ := c.Book.Shuttle.ShuttleTimes(c.Hike)
		of.Lot, of.At = c.EndLot(), format.Clock(atEnd, c.Zone())
	}
	text, err := json.Marshal(of)
	return string(text), err
}

// sendRideNews writes to each person, with a link to the page that shows their part.
func (n *Notifier) sendRideNews(ctx context.Context, c Cars, news []rideNews) error {
	addresses, err := n.staffAddresses(ctx, c.Hike)
	if err != nil {
		return err
	}
	places := map[string]signup.SignUp{}
	for _, p := range c.SignUps {
		places[p.ID] = p
	}
	for _, x := range news {
		who := x.traveller
		link, p := n.baseURL+paths.Cars(c.Hike.ID), signup.SignUp{ID: who.ID, Name: who.Name, Email: addresses[who.ID]}
		if !who.Staff {
			p = places[who.ID]
			if link, err = n.newPlaceLink(ctx, c.Hike, p); err != nil {
				return err
			}
		}
		part := message.CarPart{Edition: fmt.Sprint(x.times), Says: x.lines, Changed: x.times > 1}
		m, err := message.Cars(n.Letter(ctx, c.Hike, p, link), part)
		n.Send(ctx, m, err)
	}
	return nil
}

// staffAddresses returns the mail addresses of a hike's staff, by their IDs on the roll.
func (n *Notifier) staffAddresses(ctx context.Context, h hike.Hike) (map[string]string, error) {
	list, err := n.accounts.Accounts(ctx)
	addresses := map[string]string{}
	for _, a := range list {
		for _, m := range h.Staff {
			if m.Account == a.ID {
				addresses[m.Person] = a.Email
			}
		}
	}
	return addresses, err
}
