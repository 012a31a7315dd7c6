package signup

import (
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/team"
	"saltbush/internal/text"
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

// checkContact holds the emergency contact against the walker's own number.
func checkContact(v fault.Invalid, s *SignUp, region string) {
	v.Name("contact", &s.EmergencyName, "Name somebody to ring who is not on this hike.")
	v.Phone("contact_tel", &s.EmergencyPhone, region)
	v.OptionalAddress("contact_email", &s.ContactEmail)
	if text.SamePhone(s.Mobile, s.EmergencyPhone) {
		v.Add("contact_tel", "This is your own number. Give the number of somebody who stays behind.")
	}
	if s.ContactEmail != "" && strings.EqualFold(s.ContactEmail, s.Email) {
		v.Add("contact_email", "This is your own address. Give theirs, or none.")
	}
}

// ReplaceContact names another emergency contact: one who is not on the hike. The yes of the
// one before counts no more.
func (s *SignUp) ReplaceContact(name, phone, email, region string, others []SignUp, staff []team.Staff) error {
	v := fault.Invalid{}
	s.EmergencyName, s.EmergencyPhone, s.ContactEmail = name, phone, email
	s.ContactAsked, s.ContactConfirmed = time.Time{}, time.Time{}
	checkContact(v, s, region)
	if ContactWalks(*s, others, staff) {
		v.Add("contact_tel", "This is the number of somebody on the hike. Name a person who stays behind.")
	}
	return v.Err()
}

// ContactWalks reports whether the emergency contact of a person has a place on the same
// hike, or is on its staff: such a contact is none. A child may be brought by the adult
// who answers for it; for the child's contact the same holds.
func ContactWalks(s SignUp, others []SignUp, staff []team.Staff) bool {
	for _, o := range others {
		if o.ID != s.ID && o.OnHike() && text.SamePhone(o.Mobile, s.EmergencyPhone) {
			return true
		}
	}
	for _, m := range staff {
		if text.SamePhone(m.Phone, s.EmergencyPhone) {
			return true
		}
	}
	return false
}

// Unfit says what keeps a person from departing until it is cured, in words for the roll;
// none where they are fit to.
func Unfit(s SignUp, others []SignUp, staff []team.Staff) []string {
	var list []string
	switch {
	case text.Digits(s.EmergencyPhone) == "" || text.Empty(s.EmergencyName):
		list = append(list, "no emergency contact")
	case text.SamePhone(s.EmergencyPhone, s.Mobile):
		list = append(list, "the emergency contact's number is their own")
	case ContactWalks(s, others, staff):
		list = append(list, "the emergency contact is on this hike")
	}
	if !s.Acknowledged {
		list = append(list, "risks not accepted")
	}
	if s.Minor && (text.Empty(s.Guardian) || text.Digits(s.GuardianPhone) == "") {
		list = append(list, "no guardian's consent")
	}
	return list
}

// House judgement: three days leave time to name another contact.
const ContactAhead = 3 * 24 * time.Hour

// ContactUnasked reports whether the emergency contact has an address and neither was
// written to nor has answered.
func (s SignUp) ContactUnasked() bool {
	return s.State == Confirmed && s.ContactEmail != "" && s.ContactAsked.IsZero() && s.ContactConfirmed.IsZero()
}
