package hike

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"github.com/nyaruka/phonenumbers"
)

// RegionOf returns the country whose local numbers are understood in a time zone, as ISO
// 3166-1 has it, or "" where the zone says nothing: then every number needs its country
// code. The zones are those of the IANA database (zone1970.tab) that lie in hot dry
// country, and those of the United States; other houses write numbers with their code.
func RegionOf(zone string) string {
	for region, zones := range map[string]string{
		"US": "America/Phoenix America/Denver America/Boise America/Los_Angeles America/Chicago America/New_York America/Detroit Pacific/Honolulu",
		"MX": "America/Hermosillo America/Tijuana America/Chihuahua America/Mexico_City America/Mazatlan America/Monterrey",
		"AU": "Australia/Perth Australia/Darwin Australia/Adelaide Australia/Brisbane Australia/Sydney Australia/Melbourne Australia/Broken_Hill",
		"ES": "Europe/Madrid Africa/Ceuta Atlantic/Canary",
		"ZA": "Africa/Johannesburg", "NA": "Africa/Windhoek", "MA": "Africa/Casablanca", "CL": "America/Santiago",
		"AR": "America/Argentina/Mendoza America/Argentina/Salta America/Argentina/San_Juan", "IL": "Asia/Jerusalem", "JO": "Asia/Amman", "OM": "Asia/Muscat",
	} {
		for _, z := range strings.Fields(zones) {
			if z == zone {
				return region
			}
		}
	}
	return ""
}

// ParsePhone reads a phone number as a person of the region writes it and returns it with
// its country code, as ITU-T E.123 sets it for print. A number of another country must
// come with its code. The error is a Refusal that says what is wrong.
func ParsePhone(text, region string) (string, error) {
	n, err := phonenumbers.Parse(text, region)
	if err != nil || strings.Trim(text, "0123456789 +-().") != "" {
		return "", Refusal("Give a phone number with its area code; a number of another country begins with + and the country code.")
	}
	if phonenumbers.IsValidNumber(n) {
		return phonenumbers.Format(n, phonenumbers.INTERNATIONAL), nil
	}
	given := len(digits(text))
	switch phonenumbers.IsPossibleNumberWithReason(n) {
	case phonenumbers.TOO_SHORT, phonenumbers.IS_POSSIBLE_LOCAL_ONLY:
		return "", Refusal(fmt.Sprintf("This number has %d digits, which are too few. Give it with its area code; a number of another country begins with + and the country code.", given))
	case phonenumbers.TOO_LONG:
		return "", Refusal(fmt.Sprintf("This number has %d digits, which are too many here. A number of another country begins with + and the country code.", given))
	}
	return "", Refusal("No number like this is given out here. Look at it again; a number of another country begins with + and the country code.")
}

// SamePhone reports whether two numbers ring the same phone, whichever of them was written
// with its country code or with the 0 before an area code.
func SamePhone(a, b string) bool {
	a, b = strings.TrimLeft(digits(a), "0"), strings.TrimLeft(digits(b), "0")
	if len(a) > len(b) {
		a, b = b, a
	}
	return len(a) >= shortestPhone && strings.HasSuffix(b, a) && len(b)-len(a) <= longestCode
}

const (
	// The shortest number that is more than an extension. House judgement.
	shortestPhone = 7
	// ITU-T E.164 (2010), section 6.2.1: a country code has one to three digits.
	longestCode = 3
)

// phone checks a number beside its field and puts it into the form in which it is kept.
func (v Invalid) phone(field string, number *string, region string) {
	whole, err := ParsePhone(*number, region)
	if err != nil {
		v.Add(field, err.Error())
		return
	}
	*number = whole
}

// checkContact holds the emergency contact against the walker's own number.
func (v Invalid) checkContact(s *SignUp, region string) {
	v.require("contact", s.EmergencyName, 120, "Name somebody to ring who is not on this hike.")
	v.phone("contact_tel", &s.EmergencyPhone, region)
	v.optionalAddress("contact_email", s.ContactEmail)
	if SamePhone(s.Mobile, s.EmergencyPhone) {
		v.Add("contact_tel", "This is your own number. Give the number of somebody who stays behind.")
	}
	if s.ContactEmail != "" && strings.EqualFold(s.ContactEmail, s.Email) {
		v.Add("contact_email", "This is your own address. Give theirs, or none.")
	}
}

// ReplaceContact names another emergency contact: one who is not on the hike. The yes of the
// one before counts no more.
func (s *SignUp) ReplaceContact(name, phone, email, region string, others []SignUp, staff []Staff) error {
	v := Invalid{}
	s.EmergencyName, s.EmergencyPhone, s.ContactEmail = name, phone, email
	s.ContactAsked, s.ContactConfirmed = time.Time{}, time.Time{}
	v.checkContact(s, region)
	if ContactWalks(*s, others, staff) {
		v.Add("contact_tel", "This is the number of somebody on the hike. Name a person who stays behind.")
	}
	return v.Err()
}

// ContactWalks reports whether the emergency contact of a person has a place on the same
// hike, or is on its staff: such a contact is none. A child may be brought by the adult
// who answers for it; for the child's contact the same holds.
func ContactWalks(s SignUp, others []SignUp, staff []Staff) bool {
	for _, o := range others {
		if o.ID != s.ID && o.onHike() && SamePhone(o.Mobile, s.EmergencyPhone) {
			return true
		}
	}
	for _, m := range staff {
		if SamePhone(m.Phone, s.EmergencyPhone) {
			return true
		}
	}
	return false
}

// Unfit says what keeps a person from departing until it is cured, in words for the roll;
// none where they are fit to.
func Unfit(s SignUp, others []SignUp, staff []Staff) []string {
	var list []string
	switch {
	case digits(s.EmergencyPhone) == "" || strings.TrimSpace(s.EmergencyName) == "":
		list = append(list, "no emergency contact")
	case SamePhone(s.EmergencyPhone, s.Mobile):
		list = append(list, "the emergency contact's number is their own")
	case ContactWalks(s, others, staff):
		list = append(list, "the emergency contact is on this hike")
	}
	if !s.Acknowledged {
		list = append(list, "risks not accepted")
	}
	if s.Minor && (strings.TrimSpace(s.Guardian) == "" || digits(s.GuardianPhone) == "") {
		list = append(list, "no guardian's consent")
	}
	return list
}

func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, s)
}

// House judgement: three days leave time to name another contact.
const contactAhead = 3 * 24 * time.Hour

// AsksContacts reports whether it is time to ask the emergency contacts of the hike
// whether they can be reached.
func (h Hike) AsksContacts(now time.Time) bool {
	return h.State == Posted && now.After(h.Meet.Add(-contactAhead))
}

// ContactUnasked reports whether the emergency contact has an address and neither was
// written to nor has answered.
func (s SignUp) ContactUnasked() bool {
	return s.State == Confirmed && s.ContactEmail != "" && s.ContactAsked.IsZero() && s.ContactConfirmed.IsZero()
}
