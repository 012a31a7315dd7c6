package notify

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
	"saltbush/internal/paths"
	"saltbush/internal/privacy"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/signup"
)

// Cars is everything that pages about the cars of one hike are made of.
type Cars struct {
	hike.Data
	Book   ride.Book
	People []ride.Traveller
	By     map[string]ride.Traveller
	Phones map[string]string
	Rides  ride.Rides
}

// NewCars plans the cars of a hike from its sign-ups and its book.
func NewCars(t hike.Data, book ride.Book) Cars {
	c := Cars{Data: t, Book: book, People: ride.Travellers(t.Hike, t.SignUps, book), By: map[string]ride.Traveller{}, Phones: map[string]string{}}
	c.Rides = ride.PlanRides(t.Trail.Profile.Shape, c.People)
	for _, p := range c.People {
		c.By[p.ID] = p
	}
	for _, m := range t.Hike.Staff {
		c.Phones[m.Person] = m.Phone
	}
	for _, p := range t.SignUps {
		c.Phones[p.ID] = p.Mobile
	}
	return c
}

func (c Cars) EndLot() string { return c.Book.EndLotOf(c.Trail) }

// called is what one traveller may call another: by their first name where both said yes,
// and children by their adult.
func (c Cars) called(me, other ride.Traveller) string {
	mine := other.Minor && other.Adult == me.ID || me.Minor && me.Adult == other.ID
	if mine || ride.Visibility(me, other).CanSee(privacy.KindRide) {
		return other.FirstName()
	}
	return ""
}

// others names those whom the traveller may know, and counts the rest.
func (c Cars) others(me ride.Traveller, ids []string, named bool) string {
	var names []string
	more := 0
	for _, id := range ids {
		if name := c.called(me, c.By[id]); named && name != "" {
			names = append(names, name)
		} else {
			more++
		}
	}
	if more > 0 && len(names) > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	} else if more > 0 {
		return format.Count(more, "person", "people")
	}
	return format.Names(names)
}

// whose names the driver of a car, or says who will point it out.
func (c Cars) whose(me ride.Traveller, driver, points string, named bool) string {
	if name := c.called(me, c.By[driver]); named && name != "" {
		return "with " + name
	}
	return "in a car that " + points
}

// Says is what a person does with cars, in the order of the day. Without names it can stand
// in a mail.
func (c Cars) Says(me ride.Traveller, named bool) []format.Line {
	p, zone := c.Rides.PartOf(me), c.Zone()
	atEnd, leave := c.Book.Shuttle.ShuttleTimes(c.Hike)
	meet := format.Clock(c.Hike.Meet, zone)
	var lines []format.Line
	add := func(label, value, note string) {
		lines = append(lines, format.Line{Label: label, Value: value, Note: note})
	}
	clock := func(t bool, at string) string {
		if t {
			return at
		}
		return "Before the walk"
	}
	known := !atEnd.IsZero()
	switch {
	case me.Minor && me.Adult != "":
		add("Before the walk", "Come with the adult who answers for you", "You sit in one car with them on every way.")
	case p.Own == ride.StandsAtEnd:
		add(clock(known, format.Clock(atEnd, zone)), "Bring your car to "+c.EndLot(), "It stands there until you come back to it on foot. Lock it, and keep your key on you.")
		add(clock(known, format.Clock(leave, zone)), "Ride from there to the start "+c.whose(me, p.Ferried, "the leader names there", named), "Be there by "+meet+".")
	case p.Own == ride.FerriesToHead:
		add(clock(known, format.Clock(atEnd, zone)), "Be at "+c.EndLot()+" with your car", "Those who leave theirs there ride on with you.")
		add(clock(known, format.Clock(leave, zone)), "Bring "+c.others(me, p.Ferries, named)+" to the start", "Be there by "+meet+"; your car stays there.")
	case p.Own == ride.StaysAtStart:
		add(meet, "Come to the meeting place with your car", "")
	case p.PickedUp != "":
		add("Before the walk", "Ride to the meeting place "+c.whose(me, p.PickedUp, "the leader names", named), "Agree where and when with them; be there by "+meet+".")
	default:
		add(meet, "Come to the meeting place in your own way", "")
	}
	if len(p.Picks) > 0 {
		add("On your way", "Bring "+c.others(me, p.Picks, named)+" along", "Agree where and when with them.")
	}
	return append(lines, c.backLines(me, p, named)...)
}

// backLines say how somebody comes from the end back to the start.
func (c Cars) backLines(me ride.Traveller, p ride.Part, named bool) []format.Line {
	if !c.Rides.OneWay {
		return nil
	}
	after := format.Line{Label: "After the walk"}
	switch {
	case p.Back == me.ID && len(p.Takes) > 0:
		after.Value, after.Note = "Take "+c.others(me, p.Takes, named)+" to the start in your car", "Nobody leaves before the count."
	case p.Back == me.ID:
		after.Value, after.Note = "Your car is there", "Nobody leaves before the count."
	case p.Back != "":
		after.Value, after.Note = "Ride back to the start "+c.whose(me, p.Back, "the leader names there", named), "Nobody leaves before the count."
	default:
		after.Value, after.Note = "There is no seat back to the start for you yet", "The leader looks for one. If you can bring a car, or somebody can fetch you at the end, say so."
	}
	return []format.Line{after}
}

// errNothingNew ends a look at the cars that found nobody to tell.
var errNothingNew = errors.New("nothing new")

// carNews is one person whose part has changed, to be written to.
type carNews struct {
	who     ride.Traveller
	says    []string
	times   int
	changed bool
}

// TellCars works the cars out anew, and writes to those whose part is not what they were
// told last. Before a leader has told the plan nobody is written to. It is asked for after
// every change and from time to time; what cannot be told now is told then.
func (s *Notifier) TellCars(ctx context.Context, id ref.Hike) {
	if err := s.tellCarsOf(ctx, id); err != nil && ctx.Err() == nil {
		s.Log.Error("tell the cars", "hike", id, "err", err)
	}
}

func (s *Notifier) tellCarsOf(ctx context.Context, id ref.Hike) error {
	book, err := s.Rides.RideBook(ctx, id)
	if err != nil || book.Opened.IsZero() {
		return err
	}
	h, err := s.Hikes.Hike(ctx, id)
	if err != nil {
		return err
	}
	t := hike.Data{Now: s.Now()}
	if t.Trail, err = s.Hikes.Trail(ctx, h.Trail); err != nil {
		return err
	}
	var news []carNews
	var c Cars
	err = s.Rides.ChangeRides(ctx, id, func(h hike.Hike, places []signup.SignUp, b *ride.Book) error {
		t.Hike, t.SignUps = h, places
		if h.State != hike.Posted || !s.Now().Before(h.Start) || h.Trail != t.Trail.ID {
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
	return s.writeCars(ctx, c, news)
}

// fingerprint is what a part comes to: another one is another mail.
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

// writeCars writes the letters, each with a link to where the part stands.
func (s *Notifier) writeCars(ctx context.Context, c Cars, news []carNews) error {
	addresses, err := s.addresses(ctx, c.Hike)
	if err != nil {
		return err
	}
	places := map[string]signup.SignUp{}
	for _, p := range c.SignUps {
		places[p.ID] = p
	}
	for _, n := range news {
		link, p := s.BaseURL+paths.Cars(c.Hike.ID), signup.SignUp{ID: n.who.ID, Name: n.who.Name, Email: addresses[n.who.ID]}
		if !n.who.Staff {
			p = places[n.who.ID]
			secret, hash, err := account.NewLink(rand.Reader)
			if err != nil {
				return err
			}
			if err := s.Accounts.AddLink(ctx, account.Link{Hash: hash, Target: account.PlaceTarget(p.ID), Expires: c.Hike.Start}); err != nil {
				return err
			}
			link = s.BaseURL + paths.Place(secret)
		}
		m, err := message.Cars(s.Letter(ctx, c.Hike, p, link), message.CarPart{Edition: fmt.Sprint(n.times), Says: n.says, Changed: n.changed})
		s.Send(ctx, m, err)
	}
	return nil
}

// addresses are where the staff of a hike is written to, by their IDs on the roll.
func (s *Notifier) addresses(ctx context.Context, h hike.Hike) (map[string]string, error) {
	list, err := s.Accounts.Accounts(ctx)
	of := map[string]string{}
	for _, a := range list {
		for _, m := range h.Staff {
			if m.Account == a.ID {
				of[m.Person] = a.Email
			}
		}
	}
	return of, err
}
