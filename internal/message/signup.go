package message

import "fmt"

// Asked tells a person that a screening call comes first. Until is how long a place is held
// for them; it may be empty.
func Asked(p Place, until string) (Mail, error) {
	l := p.open()
	l.para("You asked for a place. Before it is confirmed the leader would like a word with you: it is a talk, not " +
		"an examination.")
	if until != "" {
		l.para("A place is kept for you until " + sentence(until))
	}
	p.facts(l)
	p.manage(l)
	return p.mail("asked", "The leader will call you first: "+p.Hike+", "+p.Day, l)
}

// Offered tells a person on the waiting list that a place is held for them until a time.
// They have to take it.
func Offered(p Place, until string) (Mail, error) {
	l := p.open()
	l.para("A place has come free, and it is kept for you until " + sentence(until) +
		" Take it or leave it on your page; after that it goes to the next.")
	p.facts(l)
	p.manage(l)
	return p.mail("offered/"+until, "A place is kept for you: "+p.Hike+", "+p.Day, l)
}

// Reachable asks an emergency contact to confirm that they can be reached. To and Name are
// the contact's, Link is where they confirm; walker is the person who named them.
func Reachable(p Place, walker string) (Mail, error) {
	l := p.open()
	l.para(fmt.Sprintf("%s goes on a guided hike and named you as the person to call if something happens. You "+
		"do not walk along, and there is nothing to do but to have your phone with you that day.", walker))
	l.para("Please open this page and say that you can be reached:")
	l.para(p.Link)
	p.facts(l)
	l.para("If you cannot be reached that day, tell " + walker + " now, so that they name somebody else. " + contact(p))
	return p.mail("reachable", "Can we reach you on "+p.Day+"?", l)
}

// TurnedAway tells a person that they were turned away, in the leader's neutral words.
func TurnedAway(p Place, reason string) (Mail, error) {
	l := p.open()
	l.para("You have no place on this hike. " + sentence(reason))
	l.para("Your own page says what it was measured by and which hikes would fit, and you can answer the leader there.")
	p.facts(l)
	p.manage(l)
	return p.mail("turned-away", "About your place: "+p.Hike+", "+p.Day, l)
}

// CarPart holds somebody's part in the rides of a hike. It names nobody else: people can
// withdraw their consent to share names, but a mail cannot be unsent.
type CarPart struct {
	Edition string   // required: changes with each mail
	Says    []string // what they do, in the order of the day
	Changed bool     // an earlier mail said something else
}

// Cars tells a person their part in the rides. Link is the page that shows it.
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

// CardOpened tells a person that somebody opened their medical card: who, in which role, and
// when. The reason is on their own page, behind its private link.
func CardOpened(p Place, by, as, when string) (Mail, error) {
	for _, f := range [][2]string{{"by", by}, {"as", as}, {"when", when}} {
		if err := checkLine(f[0], f[1], maxSubject); err != nil {
			return Mail{}, err
		}
	}
	l := p.open()
	l.para("Your medical card for this hike was opened. You wrote it so that people can help you; we tell you each " +
		"time somebody reads it.")
	l.fact("Opened by", by+", "+as)
	l.fact("When", when)
	p.facts(l)
	l.para("The reason that they wrote stands on your page, under the private link of your first mail. If it is not " +
		"right, write to us.")
	l.para(contact(p))
	return p.mail("card opened", "Your medical card was opened: "+p.Hike+", "+p.Day, l)
}
