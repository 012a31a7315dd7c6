package retention

import (
	"slices"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
)

// Fields is the registry: every field of a person who signs up, in the order of the file and
// the page of one's own data.
func Fields() []Field {
	return slices.Concat(
		personFields(), guardianFields(), carFields(), placeFields(), walkFields(), talkFields(), riskFields(),
		linkFields(),
	)
}

func personFields() []Field {
	return []Field{
		{
			Name: "name", Column: "name", Kind: privacy.KindName, Class: Names,
			Key: "name", Section: SectionYou, Label: "Name", Planted: "Zephyrine Quillfeather the %dth",
			At: func(s *signup.SignUp) any { return &s.Name },
		},
		{
			Name: "email", Column: "email", Kind: privacy.KindContact, Class: Contacts,
			Key: "email", Section: SectionYou, Label: "Mail", Planted: "planted%d@example.net",
			At: func(s *signup.SignUp) any { return &s.Email },
		},
		{
			Name: "mobile", Column: "mobile", Kind: privacy.KindContact, Class: Contacts,
			Key: "mobile", Section: SectionYou, Label: "Mobile", Planted: "602-555-77%02d",
			At: func(s *signup.SignUp) any { return &s.Mobile },
		},
		{
			Name: "contact's name", Column: "emergency_name", Kind: privacy.KindContact, Class: Contacts,
			Key: "contact_name", Section: SectionYou, Label: "Who we call", Planted: "Kinsperson Number%d",
			At: func(s *signup.SignUp) any { return &s.EmergencyName },
		},
		{
			Name: "contact's phone", Column: "emergency_phone", Kind: privacy.KindContact, Class: Contacts,
			Key: "contact_phone", Section: SectionYou, Label: "Their number", Planted: "480-555-66%02d",
			At: func(s *signup.SignUp) any { return &s.EmergencyPhone },
		},
		{
			Name: "contact's email", Column: "contact_email", Kind: privacy.KindContact, Class: Contacts,
			Key: "contact_email", Section: SectionYou, Label: "Their mail", Planted: "kin%d@example.net",
			At: func(s *signup.SignUp) any { return &s.ContactEmail },
		},
		{
			Name: "when the contact was asked", Column: "contact_asked", Kind: privacy.KindContact, Class: Stays,
			At: func(s *signup.SignUp) any { return &s.ContactAsked },
		},
		{
			Name: "when the contact said yes", Column: "contact_confirmed", Kind: privacy.KindContact, Class: Stays,
			At: func(s *signup.SignUp) any { return &s.ContactConfirmed },
		},
	}
}

// guardianFields are about minors.
func guardianFields() []Field {
	return []Field{
		{
			Name: "under age", Column: "minor", Kind: privacy.KindName, Class: Stays,
			Key: "minor", Section: SectionYou, Label: "Under age",
			At: func(s *signup.SignUp) any { return &s.Minor },
		},
		{
			Name: "guardian", Column: "guardian", Kind: privacy.KindContact, Class: Names,
			Key: "guardian", Section: SectionYou, Label: "Guardian", Planted: "Guardian Inkpen the %dth",
			At: func(s *signup.SignUp) any { return &s.Guardian },
		},
		{
			Name: "guardian's phone", Column: "guardian_phone", Kind: privacy.KindContact, Class: Contacts,
			Key: "guardian_phone", Section: SectionYou, Label: "Guardian's number", Planted: "480-555-88%02d",
			At: func(s *signup.SignUp) any { return &s.GuardianPhone },
		},
		{
			Name: "adult in charge", Column: "adult", Kind: privacy.KindName, Class: Names,
			Key: "adult_in_charge", Section: SectionYou, Label: "Adult on the hike", Planted: "Adult Inkpen the %dth",
			At: func(s *signup.SignUp) any { return &s.Adult },
		},
		{
			Name: "adult in charge, on the roll", Column: "adult_id", Class: Names,
			At: func(s *signup.SignUp) any { return &s.AdultID },
		},
	}
}

func carFields() []Field {
	return []Field{
		{
			Name: "plate", Column: "car_plate", Kind: privacy.KindPlate, Class: Plates,
			Key: "car.Plate", Section: SectionCar, Label: "Plate", Planted: "PLNT-0%02d",
			At: func(s *signup.SignUp) any { return &s.Car.Plate },
		},
		{
			Name: "make of the car", Column: "car_make", Kind: privacy.KindPlate, Class: Plates,
			Key: "car.Make", Section: SectionCar, Label: "Car", Words: makeAndColor, Planted: "Plantmobile %d",
			At: func(s *signup.SignUp) any { return &s.Car.Make },
		},
		{
			Name: "color of the car", Column: "car_colour", Kind: privacy.KindPlate, Class: Plates,
			Key: "car.Colour", Planted: "planted ochre %d", // the page writes it with the make
			At: func(s *signup.SignUp) any { return &s.Car.Colour },
		},
		{
			Name: "seats offered", Column: "car_seats", Kind: privacy.KindPlate, Class: Plates,
			Key: "car.Seats",
			At:  func(s *signup.SignUp) any { return &s.Car.Seats },
		},
		{
			Name: "where the car stands", Column: "car_lot", Kind: privacy.KindPlate, Class: Plates,
			Key: "car.Lot", Section: SectionCar, Label: "Parked", Planted: "planted lot %d",
			At: func(s *signup.SignUp) any { return &s.Car.Lot },
		},
	}
}

func placeFields() []Field {
	return []Field{
		{
			Name: "state", Column: "state", Kind: privacy.KindName, Class: Stays,
			Key: "state", Section: SectionWalking, Label: "Your place",
			At: func(s *signup.SignUp) any { return &s.State },
		},
		{
			Name: "reason to turn away", Column: "because", Kind: privacy.KindScreening, Class: Contacts,
			Key: "turned_away_because", Section: SectionWalking, Note: true, Planted: "planted reason %d to turn away",
			At: func(s *signup.SignUp) any { return &s.Because },
		},
		{
			Name: "did not come", Column: "no_show", Kind: privacy.KindName, Class: Stays,
			Key: "did_not_come",
			At:  func(s *signup.SignUp) any { return &s.NoShow },
		},
		{
			Name: "when they asked", Column: "asked", Kind: privacy.KindName, Class: Stays,
			Key: "asked", Section: SectionWalking, Label: "Asked",
			At: func(s *signup.SignUp) any { return &s.Asked },
		},
		{
			Name: "brought in by", Column: "imported_by", Kind: privacy.KindName, Class: Stays, // one of the staff
			At: func(s *signup.SignUp) any { return &s.ImportedBy },
		},
	}
}

// walkFields are what people say about themselves.
func walkFields() []Field {
	return []Field{
		{
			Name: "longest walk", Column: "longest_walk", Kind: privacy.KindScreening, Class: Contacts,
			Key: "longest_walk", Section: SectionWalking, Label: "Longest walk", Planted: "planted walk %d, knees held",
			At: func(s *signup.SignUp) any { return &s.LongestWalk },
		},
		{
			Name: "hot days", Column: "hot_days", Kind: privacy.KindScreening, Class: Stays,
			Key: "hot_days", Section: SectionWalking, Label: "Active in the heat", Words: hotDays,
			At: func(s *signup.SignUp) any { return &s.HotDays },
		},
		{
			Name: "water", Column: "water_l", Kind: privacy.KindName, Class: Stays,
			Key: "water_litres",
			At:  func(s *signup.SignUp) any { return &s.Water },
		},
		{
			Name: "where from", Column: "self_report", Part: "from", Kind: privacy.KindScreening, Class: Contacts,
			Section: SectionWalking, Label: "Came from", Planted: "Plantedtown%d",
			At: func(s *signup.SignUp) any { return &s.SelfReport.From },
		},
		{
			Name: "shoes", Column: "self_report", Part: "shoes", Kind: privacy.KindScreening, Class: Contacts,
			Section: SectionWalking, Label: "Shoes", Planted: "planted boots %d",
			At: func(s *signup.SignUp) any { return &s.SelfReport.Shoes },
		},
		{
			Name: "self-report", Column: "self_report", Kind: privacy.KindScreening, Class: Contacts,
			Key: "told", Section: SectionWalking, Label: "Said yes to", Words: saidYesTo,
			At: func(s *signup.SignUp) any { return &s.SelfReport },
		},
		{
			Name: "action line", Table: "medical_cards", Column: "action", Kind: privacy.KindAction, Class: Cards,
			Planted: "planted action %d: the pen in the left pocket", // the card lists it, opened
			At:      func(s *signup.SignUp) any { return &s.Needs },
		},
		{
			// Older versions stored the action line in plain text. On start it is sealed into
			// the card.
			Name: "unsealed action line", Column: "unsealed_needs", Kind: privacy.KindAction, Class: Contacts,
			Planted: "planted plain words %d",
		},
	}
}

// talkFields are about the talk before a place is confirmed.
func talkFields() []Field {
	return []Field{
		{
			Name: "reason for a talk", Column: "screening", Part: "talk", Kind: privacy.KindScreening, Class: Contacts,
			Section: SectionWalking, Label: "Reason for a talk", Planted: "planted reason %d for a talk",
			At: func(s *signup.SignUp) any { return &s.Screening.Talk },
		},
		{
			Name: "outcome", Column: "screening", Part: "outcome", Kind: privacy.KindScreening, Class: Contacts,
			Section: SectionWalking, Label: "What came of it",
			At: func(s *signup.SignUp) any { return &s.Screening.Outcome },
		},
		{
			Name: "outcome's reason", Column: "screening", Part: "reason", Kind: privacy.KindScreening, Class: Contacts,
			Section: SectionWalking, Note: true, Planted: "planted outcome %d in neutral words",
			At: func(s *signup.SignUp) any { return &s.Screening.Reason },
		},
		{
			Name: "answer", Column: "screening", Part: "answer", Kind: privacy.KindScreening, Class: Contacts,
			Planted: "planted answer %d of the person",
			At:      func(s *signup.SignUp) any { return &s.Screening.Answer },
		},
		{
			Name: "screening", Column: "screening", Kind: privacy.KindScreening, Class: Contacts,
			Key: "screening",
			At:  func(s *signup.SignUp) any { return &s.Screening },
		},
	}
}

// riskFields are about what a person accepted. The table waivers stores it after the names are
// deleted.
func riskFields() []Field {
	return []Field{
		{
			Name: "risks accepted", Column: "acknowledged", Kind: privacy.KindName, Class: Stays,
			At: func(s *signup.SignUp) any { return &s.Acknowledged },
		},
		{
			Name: "when the risks were accepted", Column: "risk_accepted", Kind: privacy.KindName, Class: Stays,
			Key: "risks_accepted", Section: SectionRisks, Label: "The risks", Words: whenAccepted,
			At: func(s *signup.SignUp) any { return &s.RiskAccepted },
		},
		{
			Name: "version of the risks", Column: "risk_version", Kind: privacy.KindName, Class: Stays,
			Key: "risks_version", Section: SectionRisks, Note: true, Words: whichRisks,
			At: func(s *signup.SignUp) any { return &s.RiskVersion },
		},
		{
			Name: "guardian's consent", Column: "consented", Kind: privacy.KindContact, Class: Stays,
			Key: "guardian_consented", Section: SectionRisks, Label: "Your guardian agreed",
			At: func(s *signup.SignUp) any { return &s.Consented },
		},
	}
}

// linkFields open a sign-up to its person. They are never shown.
func linkFields() []Field {
	return []Field{
		{
			Name: "private link", Column: "link", Class: Contacts,
			At: func(s *signup.SignUp) any { return &s.Link },
		},
	}
}

func makeAndColor(s signup.SignUp, _ *time.Location) string {
	return strings.TrimSpace(s.Car.Make + " " + s.Car.Colour)
}

func hotDays(s signup.SignUp, _ *time.Location) string {
	return format.Count(s.HotDays, "day of 14", "days of 14")
}

func whenAccepted(s signup.SignUp, zone *time.Location) string {
	if s.RiskAccepted.IsZero() {
		return ""
	}
	return "accepted " + format.Moment(s.RiskAccepted, zone)
}

func whichRisks(s signup.SignUp, _ *time.Location) string { return "text " + s.RiskVersion }

func saidYesTo(s signup.SignUp, _ *time.Location) string {
	var said []string
	for _, q := range []struct {
		yes  bool
		what string
	}{
		{s.SelfReport.HotBefore, "walked in heat before"},
		{s.SelfReport.HeatIll, "heat has made you ill"},
		{s.SelfReport.Health, "something about your health to talk over"},
		{s.SelfReport.Older, "of the age from which there is a talk"},
		{s.SelfReport.Poles, "walks with poles"},
	} {
		if q.yes {
			said = append(said, q.what)
		}
	}
	return strings.Join(said, "; ")
}
