package roll

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/google/uuid"

	"saltbush/internal/party"
	"saltbush/internal/text"
)

// Our judgment: limits that no public day hike reaches, so that a typo or a hostile device
// cannot fill the roll. The last two are bytes.
const (
	maxPeople  = 500
	maxMinutes = 12 * 60
	maxParties = 10
	maxLine    = 200
	maxNote    = 4000
)

// Validate returns the first problem that keeps an event from being stored, in words for
// whoever records it. It does not look at other events: party.Fold keeps contradictions and
// flags them.
func Validate(e party.Event) error {
	if !slices.Contains(party.Kinds(), e.Kind) {
		return fmt.Errorf("kind %q is not one that the roll knows", e.Kind)
	}
	for _, check := range append(commonChecks(), checksOf(e.Kind)...) {
		if err := check(e); err != nil {
			return fmt.Errorf("%s: %w", e.Kind, err)
		}
	}
	return nil
}

// Clean returns an event from a device with its texts cleaned. Invisible characters are
// dropped, so that no event is rejected for one.
func Clean(e party.Event) party.Event {
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

// check returns what is wrong with one aspect of an event, nil if nothing is.
type check func(party.Event) error

func commonChecks() []check {
	return []check{checkIdentity, checkText, checkPeople, checkNumbers}
}

// checksOf returns the checks of a kind besides the common ones.
func checksOf(k party.Kind) []check {
	switch k {
	case party.KindHere, party.KindAbsent, party.KindAtCar, party.KindBack:
		return []check{needPersons}
	case party.KindJoined:
		return []check{needOnePerson, needText("name", "write the name of who joined")}
	case party.KindTurnedAway:
		return []check{needPersons, needText("note", "write the reason")}
	case party.KindDeparted:
		return []check{needDeparted, needRoute}
	case party.KindCounted:
		return []check{needCount, needText("place", "say where the count was made")}
	case party.KindLeftEarly:
		return []check{
			needPersons, needText("place", "say where they left the group"),
			needText("to", "say where they are going"),
		}
	case party.KindSplit, party.KindRejoined:
		return []check{needParties, needText("place", "say where")}
	case party.KindDelayed:
		return []check{needMinutes, needText("note", "write the reason")}
	case party.KindHandedOver:
		return []check{needPersons, needText("place", "say where"), needText("to", "say who took them over")}
	case party.KindReported:
		return []check{needText("note", "write the message")}
	case party.KindUndone:
		return []check{needTarget}
	}
	return restChecksOf(k)
}

// restChecksOf is checksOf for the kinds that move nobody.
func restChecksOf(k party.Kind) []check {
	switch k {
	case party.KindWater:
		return []check{needPersons, needLitres(maxPersonal)}
	case party.KindStock:
		return []check{needLitres(maxStock)}
	case party.KindInCharge:
		return []check{needPersons, needAdult}
	case party.KindMissing:
		return []check{needMissed, needText("place", "say where they were last seen")}
	case party.KindStep:
		return []check{needStep}
	case party.KindNamed:
		return []check{needPersons}
	case party.KindFound:
		return []check{needFound, needText("place", "say where")}
	case party.KindTold:
		return []check{needToNotify}
	case party.KindNoted:
		return []check{needTopic, needText("note", "write what rescuers should know")}
	case party.KindUnwell:
		return []check{needPersons, needSigns}
	case party.KindPlate, party.KindCarGone:
		return []check{needPlates}
	case party.KindCarStays:
		return []check{needPlates, needText("note", "say why it stays")}
	}
	return nil
}

func checkIdentity(e party.Event) error {
	switch {
	case !isUUID(string(e.ID)):
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

// isUUID reports whether an ID is a UUID in lower case. With a second spelling one event
// could arrive under two IDs.
func isUUID(id string) bool {
	u, err := uuid.Parse(id)
	return err == nil && u.String() == id
}

func checkText(e party.Event) error {
	for _, l := range []struct{ what, text string }{
		{"by", e.By}, {"device", e.Device}, {"name", e.Name},
		{"party", e.Party}, {"place", e.Place}, {"to", e.To}, {"contact", e.Contact}, {"seen_by", e.SeenBy},
	} {
		if err := checkLine(l.what, l.text, maxLine); err != nil {
			return err
		}
	}
	for _, a := range e.Against {
		if err := checkLine("against", a, maxLine); err != nil {
			return err
		}
	}
	return checkLine("note", e.Note, maxNote)
}

func checkLine(what, s string, limit int) error {
	if len(s) > limit {
		return fmt.Errorf("%s is longer than %d bytes", what, limit)
	}
	// A zero byte is valid in JSON, but PostgreSQL's jsonb rejects it.
	if strings.ContainsRune(s, 0) || !utf8.ValidString(s) {
		return fmt.Errorf("%s holds a character that cannot be kept", what)
	}
	return nil
}

func checkPeople(e party.Event) error {
	if err := checkIDs("persons", e.Persons); err != nil {
		return err
	}
	return checkIDs("buddies", e.Buddies)
}

func checkIDs(what string, ids []party.PersonID) error {
	if len(ids) > maxPeople {
		return fmt.Errorf("%s lists %d people, more than %d", what, len(ids), maxPeople)
	}
	for i, id := range ids {
		if !isUUID(string(id)) {
			return fmt.Errorf("%s, number %d: %q is not a lower-case UUID", what, i+1, id)
		}
	}
	return nil
}

func checkNumbers(e party.Event) error {
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
