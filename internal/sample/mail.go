package sample

import (
	"fmt"

	"saltbush/internal/account"
	"saltbush/internal/message"
	"saltbush/internal/signup"
)

// organisation is the invented group in whose name mail goes.
const organisation = "Tarrow Basin Hike Volunteers"

// letters are the mails about the places of a hike that is still to come: confirmed, or
// waiting with how many are before.
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
	switch n {
	case 0:
		return "Nobody is before you."
	case 1:
		return "1 person is before you."
	}
	return fmt.Sprintf("%d people are before you.", n)
}

func (o *outing) place(p signup.SignUp, secret account.Secret, base string) message.Place {
	h := o.hike
	m := message.Place{
		Ref: p.ID, To: p.Email, Name: p.Name, Hike: h.Title, Day: h.Start.Format("Monday 2 January 2006"), Group: organisation,
		Meet: h.Meet.Format("15:04") + " at the trailhead", Leader: h.Staff[0].Name,
		Contact: h.OnCall.Name + " is on call that day: " + h.OnCall.Phone, Link: base + "/place/" + secret.Reveal(), UselessAt: h.Start,
	}
	if o.plan != nil {
		r := o.plan.Plan.Return
		m.Finish = "between " + r.Expected.Format("15:04") + " and " + r.Watch.Format("15:04")
	}
	return m
}
