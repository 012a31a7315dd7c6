package roll

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/google/uuid"

	"saltbush/internal/text"
)

// House judgement: bounds that no public day hike reaches, so that a slip of the thumb or
// a hostile device cannot fill the roll.
const (
	maxPeople  = 500
	maxMinutes = 12 * 60
	maxParties = 10
	maxLine    = 200
	maxNote    = 4000
)

// Validate reports the first thing that keeps the event from being recorded, in words for
// whoever records. It does not look at other events: what contradicts them is kept and
// flagged by Fold.
func (e Event) Validate() error {
	if !slices.Contains(Kinds(), e.Kind) {
		return fmt.Errorf("kind %q is not one that the roll knows", e.Kind)
	}
	for _, check := range append(commonChecks(), checksOf(e.Kind)...) {
		if err := check(e); err != nil {
			return fmt.Errorf("%s: %w", e.Kind, err)
		}
	}
	return nil
}

// Cleaned returns the event with its texts cleaned, as they come in from a device. What its
// person saw is all there, so nothing of it is refused for a character that nobody sees.
func (e Event) Cleaned() Event {
	for _, s := range []*string{&e.By, &e.Name, &e.SeenBy} {
		*s = text.Name(*s)
	}
	for _, s := range []*string{&e.Device, &e.Party, &e.Place, &e.To, &e.Contact} {
		*s = text.Line(*s)
	}
	e.Note = text.Paragraph(e.Note)
	e.Against, e.Plates = cleanLines(e.Against), cleanLines(e.Plates)
	e.Parties = slices.Clone(e.Parties)
	for i := range e.Parties {
		p := &e.Parties[i]
		p.Name, p.Meet = text.Line(p.Name), text.Line(p.Meet)
	}
	return e
}

func cleanLines(list []string) []string {
	list = slices.Clone(list)
	for i := range list {
		list[i] = text.Line(list[i])
	}
	return list
}

// check looks at one thing in an event.
type check func(Event) error

func commonChecks() []check {
	return []check{checkIdentity, checkText, checkPeople, checkNumbers}
}

// checksOf returns what a kind needs beyond what all events need.
func checksOf(k Kind) []check {
	switch k {
	case KindHere, KindAbsent, KindAtCar, KindBack:
		return []check{needPersons}
	case KindJoined:
		return []check{needOnePerson, needText("name", "write the name of who joined")}
	case KindTurnedAway:
		return []check{needPersons, needText("note", "write the reason")}
	case KindDeparted:
		return []check{needDeparted, needRoute}
	case KindCounted:
		return []check{needCount, needText("place", "say where the count was made")}
	case KindLeftEarly:
		return []check{needPersons, needText("place", "say where they left the group"), needText("to", "say where they are going")}
	case KindSplit, KindRejoined:
		return []check{needParties, needText("place", "say where")}
	case KindDelayed:
		return []check{needMinutes, needText("note", "write the reason")}
	case KindHandedOver:
		return []check{needPersons, needText("place", "say where"), needText("to", "say who took them over")}
	case KindReported:
		return []check{needText("note", "write the message")}
	case KindUndone:
		return []check{needTarget}
	}
	return moreChecksOf(k)
}

// moreChecksOf is for the kinds that move nobody.
func moreChecksOf(k Kind) []check {
	switch k {
	case KindWater:
		return []check{needPersons, needLitres(maxPersonal)}
	case KindStock:
		return []check{needLitres(maxStock)}
	case KindInCharge:
		return []check{needPersons, needAdult}
	case KindMissing:
		return []check{needMissed, needText("place", "say where they were last seen")}
	case KindStep:
		return []check{needStep}
	case KindFound:
		return []check{needPersons, needText("place", "say where")}
	case KindTold:
		return []check{needHearer}
	case KindUnwell:
		return []check{needPersons, needSigns}
	case KindPlate, KindCarGone:
		return []check{needPlates}
	}
	return nil
}

func checkIdentity(e Event) error {
	switch {
	case !canonical(string(e.ID)):
		return fmt.Errorf("id %q is not a lower-case UUID", e.ID)
	case e.At.IsZero():
		return errors.New("at is empty: say when it happened")
	case e.At.Year() < 2000 || e.At.Year() > 2200:
		return fmt.Errorf("at has the year %d: the device's clock looks wrong", e.At.Year())
	case text.Empty(e.By):
		return errors.New("by is empty: say who records this")
	}
	return nil
}

// canonical holds ids to one spelling, or one event could arrive under two.
func canonical(id string) bool {
	u, err := uuid.Parse(id)
	return err == nil && u.String() == id
}

func checkText(e Event) error {
	lines := []struct{ what, text string }{
		{"by", e.By}, {"device", e.Device}, {"name", e.Name},
		{"party", e.Party}, {"place", e.Place}, {"to", e.To}, {"contact", e.Contact}, {"seen_by", e.SeenBy},
	}
	for _, a := range e.Against {
		lines = append(lines, struct{ what, text string }{"against", a})
	}
	for _, l := range lines {
		if err := checkLine(l.what, l.text, maxLine); err != nil {
			return err
		}
	}
	return checkLine("note", e.Note, maxNote)
}

func checkLine(what, s string, limit int) error {
	if len(s) > limit {
		return fmt.Errorf("%s is longer than %d bytes", what, limit)
	}
	// A zero byte is legal in JSON and refused by PostgreSQL's jsonb.
	if strings.ContainsRune(s, 0) || !utf8.ValidString(s) {
		return fmt.Errorf("%s holds a character that cannot be kept", what)
	}
	return nil
}

func checkPeople(e Event) error {
	if err := checkIDs("persons", e.Persons); err != nil {
		return err
	}
	return checkIDs("buddies", e.Buddies)
}

func checkIDs(what string, ids []PersonID) error {
	if len(ids) > maxPeople {
		return fmt.Errorf("%s lists %d people, more than %d", what, len(ids), maxPeople)
	}
	for i, id := range ids {
		if !canonical(string(id)) {
			return fmt.Errorf("%s, number %d: %q is not a lower-case UUID", what, i+1, id)
		}
	}
	return nil
}

func checkNumbers(e Event) error {
	if err := checkNumber("number", e.Number); err != nil {
		return err
	}
	if err := checkNumber("sweep", e.Sweep); err != nil {
		return err
	}
	if e.Minutes < 0 || e.Minutes > maxMinutes {
		return fmt.Errorf("minutes %d is not between 0 and %d", e.Minutes, maxMinutes)
	}
	if math.IsNaN(e.Along.Metres()) || math.IsInf(e.Along.Metres(), 0) || e.Along < 0 {
		return errors.New("along_m is not a distance along the track")
	}
	return nil
}

func checkNumber(what string, n int) error {
	if n < 0 || n > maxPeople {
		return fmt.Errorf("%s %d is not between 0 and %d people", what, n, maxPeople)
	}
	return nil
}
