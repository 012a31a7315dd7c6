package sample

import (
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/signup"
	"saltbush/internal/watch"
)

// organization is the name of the invented group.
const organization = "Tarrow Basin Hike Volunteers"

// letters returns the mails about the places of a coming hike: confirmed, waiting with how
// many are before, or asked for a talk.
func (o *outing) letters(base string) ([]message.Mail, error) {
	var list []message.Mail
	for i, p := range o.places {
		place := o.place(p, o.secrets[i], base)
		compose := func() (message.Mail, error) { return message.Confirmed(place) }
		if before := i - o.hike.Places; before >= 0 {
			compose = func() (message.Mail, error) { return message.Waiting(place, ahead(before)) }
		}
		if p.Screening.Open() {
			compose = func() (message.Mail, error) { return message.Asked(place, "") }
		}
		m, err := compose()
		if err != nil {
			return nil, fmt.Errorf("mail of %q: %w", o.hike.Title, err)
		}
		list = append(list, m)
	}
	return list, nil
}

func ahead(n int) string {
	if n == 0 {
		return "Nobody is before you."
	}
	return format.Count(n, "person is", "people are") + " before you."
}

func (o *outing) place(p signup.SignUp, secret account.Secret, base string) message.Place {
	h := o.hike
	m := message.Place{
		Ref: p.ID, To: p.Email, Name: p.Name, Hike: h.Title, Day: format.Day(h.Start, h.Start.Location()),
		Group: organization,
		Meet:  format.Clock(h.Meet, h.Meet.Location()) + " at the trailhead", Leader: h.Staff[0].Name,
		Contact: h.OnCall.Name + " is on call that day: " + h.OnCall.Phone, Link: base + "/place/" + secret.Reveal(),
		UselessAt: h.Start,
	}
	if o.plan != nil {
		d := hike.Data{Hike: h, Plan: &o.plan.Plan, SignUps: []signup.SignUp{p}}
		d.Clocks = watch.Before(d).Clocks()
		m.Finish = d.Finish()
	}
	return m
}
