package message

// CarPart is what a mail says of somebody's part in the cars of a hike. It names nobody
// else: who is told apart can take that back, and a mail cannot be taken back.
type CarPart struct {
	Edition string   // required: differs each time that the person is told
	Says    []string // what they do, in the order of the day
	Changed bool     // they were told something else before
}

// Cars tells a person their part in the cars. Link is where it stands.
func Cars(p Place, c CarPart) (Mail, error) {
	if err := checkLine("edition", c.Edition, maxKey); err != nil {
		return Mail{}, err
	}
	l := p.open()
	subject := "Cars: "
	if c.Changed {
		subject = "Changed, cars: "
		l.para("Your part in the cars of this hike has changed. What we wrote before no longer holds.")
	} else {
		l.para("This is your part in the cars of this hike.")
	}
	l.list(c.Says)
	p.facts(l)
	l.para("With whom you ride stands on your page, as far as both of you agreed to it there (this link is private; " +
		"whoever has it can act for you):")
	l.para(p.Link)
	l.para(contact(p))
	return p.mail("cars/"+c.Edition, subject+p.Hike+", "+p.Day, l)
}
