package roll

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"saltbush/internal/party"
	"saltbush/internal/text"
)

func needPersons(e party.Event) error {
	if len(e.Persons) == 0 {
		return errors.New("persons is empty: say who")
	}
	return nil
}

func needOnePerson(e party.Event) error {
	if len(e.Persons) != 1 {
		return fmt.Errorf("persons lists %d people: record one at a time", len(e.Persons))
	}
	return nil
}

// needText requires one of the event's texts, by its JSON key. The error ends in ask.
func needText(key, ask string) check {
	return func(e party.Event) error {
		given := map[string]string{"name": e.Name, "note": e.Note, "place": e.Place, "to": e.To}[key]
		if text.Empty(given) {
			return fmt.Errorf("%s is empty: %s", key, ask)
		}
		return nil
	}
}

func needDeparted(e party.Event) error {
	if e.Number == 0 {
		return errors.New("number is empty: say how many left, staff included")
	}
	return nil
}

func needCount(e party.Event) error {
	if e.Number == 0 && e.Sweep == 0 {
		return errors.New("number and sweep are empty: give the leader's count, the sweep's or both")
	}
	return nil
}

func needMinutes(e party.Event) error {
	if e.Minutes == 0 {
		return errors.New("minutes is empty: say how much later than planned")
	}
	return nil
}

// needParties accepts groups without staff or a number: a bad split is a fact that must be
// on record, and party.Fold flags it.
func needParties(e party.Event) error {
	if len(e.Parties) < 2 || len(e.Parties) > maxParties {
		return fmt.Errorf("parties lists %d: between 2 and %d are needed", len(e.Parties), maxParties)
	}
	seen := make(map[string]bool, len(e.Parties))
	for i, p := range e.Parties {
		if err := needPart(p); err != nil {
			return fmt.Errorf("party %d: %w", i+1, err)
		}
		if seen[p.Name] {
			return fmt.Errorf("party %d: the name %q is taken by another", i+1, p.Name)
		}
		seen[p.Name] = true
	}
	return nil
}

func needPart(p party.Part) error {
	if text.Empty(p.Name) {
		return errors.New("name is empty: call it by its leader or its pace")
	}
	if err := errors.Join(checkLine("name", p.Name, maxLine), checkLine("meet", p.Meet, maxLine)); err != nil {
		return err
	}
	if err := checkIDs("staff", p.Staff); err != nil {
		return err
	}
	if err := checkIDs("persons", p.Persons); err != nil {
		return err
	}
	return checkNumber("number", p.Number)
}

// needRoute accepts a departure without a route, because old forms do not send it.
func needRoute(e party.Event) error {
	if e.Route != "" && e.Route != party.RouteFull && e.Route != party.RouteShort {
		return fmt.Errorf("route %q is neither %s nor %s", e.Route, party.RouteFull, party.RouteShort)
	}
	return nil
}

// Our judgment: nobody carries, and no car holds, more liters than this.
const maxPersonal, maxStock = 100, 1000

func needLitres(most float64) check {
	return func(e party.Event) error {
		for what, v := range map[string]float64{"litres": e.Litres.Litres(), "gives_litres": e.Gives.Litres()} {
			if !(v >= 0 && v <= most) {
				return fmt.Errorf("%s is not between 0 and %g", what, most)
			}
		}
		return nil
	}
}

func needAdult(e party.Event) error {
	if len(e.Buddies) != 1 {
		return fmt.Errorf("buddies lists %d people: name the one adult who is responsible", len(e.Buddies))
	}
	if slices.Contains(e.Persons, e.Buddies[0]) {
		return errors.New("buddies names a minor: nobody is in their own charge")
	}
	return nil
}

func needMissed(e party.Event) error {
	if len(e.Persons) == 0 && e.Number == 0 {
		return errors.New("persons and number are empty: say who is missed, or how many")
	}
	for _, x := range e.Factors {
		if !slices.Contains(party.Factors(), x) {
			return fmt.Errorf("factors has %q, which is not one of the list", x)
		}
	}
	return nil
}

func needFound(e party.Event) error {
	if len(e.Persons) == 0 && e.Number == 0 {
		return errors.New("persons and number are empty: say who was found, or how many")
	}
	return nil
}

func needStep(e party.Event) error {
	if n := len(party.SearchSteps()); e.Step < 1 || e.Step > n {
		return fmt.Errorf("step %d is not between 1 and %d", e.Step, n)
	}
	return nil
}

func needToNotify(e party.Event) error {
	if !slices.Contains(party.NotifyOrder(), e.To) {
		return fmt.Errorf("to is %q: say which of %s was told", e.To, strings.Join(party.NotifyOrder(), ", "))
	}
	return nil
}

func needTopic(e party.Event) error {
	if !slices.Contains(party.Topics(), e.To) {
		return fmt.Errorf("to is %q: say which of %s it is about", e.To, strings.Join(party.Topics(), ", "))
	}
	return nil
}

func needSigns(e party.Event) error {
	if len(e.Signs) == 0 {
		return errors.New("signs is empty: say what is seen")
	}
	for _, x := range e.Signs {
		if !slices.Contains(party.Signs(), x) {
			return fmt.Errorf("signs has %q, which is not one of the list", x)
		}
	}
	return nil
}

func needPlates(e party.Event) error {
	if len(e.Plates) == 0 || len(e.Plates) > maxPeople {
		return errors.New("plates is empty: write the license plate")
	}
	for _, p := range e.Plates {
		if party.PlateKey(p) == "" || len(p) > 20 {
			return fmt.Errorf("plates has %q, which is no number plate", p)
		}
	}
	return nil
}

func needTarget(e party.Event) error {
	if !isUUID(string(e.Retracts)) {
		return fmt.Errorf("retracts %q is not a lower-case UUID: say which event is undone", e.Retracts)
	}
	if e.Retracts == e.ID {
		return errors.New("retracts names the event itself")
	}
	return nil
}
