package roll_test

import (
	"testing"

	"saltbush/internal/hike"
	"saltbush/internal/roll"
	"saltbush/internal/signup"
)

func TestMinorIsInTheChargeOfTheirOwnAdult(t *testing.T) {
	named := func(id string) signup.SignUp {
		return signup.SignUp{ID: id, Name: "Amaya Reyes", State: signup.Confirmed}
	}
	kid := signup.SignUp{
		ID: "kid", Name: "Bo Reyes", Minor: true, State: signup.Confirmed, Adult: "Amaya Reyes", AdultID: "two",
	}
	for _, e := range roll.RosterOf(hike.Hike{}, []signup.SignUp{named("one"), named("two"), kid}) {
		if answers := len(e.ResponsibleFor) == 1; answers != (string(e.ID) == "two") {
			t.Errorf("%s answers for %v", e.ID, e.ResponsibleFor)
		}
	}
}
