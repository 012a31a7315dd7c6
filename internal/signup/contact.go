package signup

import (
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// RegionOf returns the country (ISO 3166-1) whose local phone numbers are understood in a time
// zone. It returns "" for other zones; there, every number needs its country code. The zones
// are those of the IANA database (zone1970.tab) in hot, dry country and in the United States.
func RegionOf(zone string) string {
	for region, zones := range map[string]string{
		"US": "America/Phoenix America/Denver America/Boise America/Los_Angeles America/Chicago America/New_York " +
			"America/Detroit Pacific/Honolulu",
		"MX": "America/Hermosillo America/Tijuana America/Chihuahua America/Mexico_City America/Mazatlan " +
			"America/Monterrey",
		"AU": "Australia/Perth Australia/Darwin Australia/Adelaide Australia/Brisbane Australia/Sydney " +
			"Australia/Melbourne Australia/Broken_Hill",
		"ES": "Europe/Madrid Africa/Ceuta Atlantic/Canary",
		"ZA": "Africa/Johannesburg", "NA": "Africa/Windhoek", "MA": "Africa/Casablanca", "CL": "America/Santiago",
		"AR": "America/Argentina/Mendoza America/Argentina/Salta America/Argentina/San_Juan", "IL": "Asia/Jerusalem",
		"JO": "Asia/Amman", "OM": "Asia/Muscat",
	} {
		for _, z := range strings.Fields(zones) {
			if z == zone {
				return region
			}
		}
	}
	return ""
}

// checkContact checks the emergency contact, who must be reachable by another number and
// address than the walker.
func checkContact(v fault.Invalid, s *SignUp, region string) {
	v.Name("contact", &s.EmergencyName, "Name somebody to call who is not on this hike.")
	v.Phone("contact_tel", &s.EmergencyPhone, region)
	v.OptionalAddress("contact_email", &s.ContactEmail)
	if text.SamePhone(s.Mobile, s.EmergencyPhone) {
		v.Add("contact_tel", "This is your own number. Give the number of somebody who stays behind.")
	}
	if s.ContactEmail != "" && strings.EqualFold(s.ContactEmail, s.Email) {
		v.Add("contact_email", "This is your own address. Give theirs, or none.")
	}
}

// ReplaceContact replaces the emergency contact, who must not be on the hike. If the previous
// contact confirmed, that no longer counts.
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

// ContactWalks reports whether a person's emergency contact has a place on the same hike or is
// on its staff. Such a contact is no use: nobody could reach them. The same holds for a child
// whose contact is the adult on the hike.
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

// Unfit lists what keeps a person from departing until it is fixed, in words for the roll. An
// empty list means that they may depart.
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

// ContactAhead is how long before the meeting time contacts are asked. Our judgment: three days
// leave enough time to name another contact.
const ContactAhead = 3 * 24 * time.Hour

// ContactUnasked reports whether the emergency contact has an address, was not written to yet
// and has not answered.
func (s SignUp) ContactUnasked() bool {
	return s.State == Confirmed && s.ContactEmail != "" && s.ContactAsked.IsZero() && s.ContactConfirmed.IsZero()
}
