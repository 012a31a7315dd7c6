package account

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"saltbush/internal/ref"
	"saltbush/internal/text"
)

// ID numbers an account. Zero means no account.
type ID = ref.Account

// Role is a part that a person plays in the organisation. A person may have several.
type Role string

// The roles that the policy of May knows. An account may carry others; they allow nothing.
const (
	Coordinator Role = "coordinator" // runs the programme and the people
	Leader      Role = "leader"      // schedules and leads hikes
	Trainer     Role = "trainer"     // sees the records of staff and notes observed hikes
	// Safety is the safety officer: reads the board, the watches and the papers, and keeps
	// none of them.
	Safety Role = "safety officer"
	// OnCall holds the watch from home: the board, and on its day the watch of a hike.
	OnCall Role = "on-call"
)

// Roles lists every role in the order that forms offer them.
func Roles() []Role { return []Role{Leader, Coordinator, Trainer, Safety, OnCall} }

// ParseRole reads a role as it is written in a form or a table.
func ParseRole(s string) (Role, error) {
	if r := Role(s); slices.Contains(Roles(), r) {
		return r, nil
	}
	return "", fmt.Errorf("%q is not a role: use one of %q", s, Roles())
}

// Units says in which units a person reads distances, heights and temperatures.
type Units string

// The two choices of units.
const (
	Metric Units = "metric"
	US     Units = "us"
)

// ParseUnits reads a choice of units as it is written in a form or a table.
func ParseUnits(s string) (Units, error) {
	switch u := Units(s); u {
	case Metric, US:
		return u, nil
	}
	return "", fmt.Errorf("%q is not a choice of units: use metric or us", s)
}

// Account is a person who can sign in.
type Account struct {
	ID           ID
	Name         string
	Email        string // as CleanEmail leaves it; no two accounts share one
	Phone        string // how staff and on-call reach the person; may be empty
	Roles        []Role
	PasswordHash string // empty until the person has set a password
	Active       bool   // an account that is not active may do nothing
	Created      time.Time
	Units        Units
}

// Has tells whether the account carries the role. It does not ask whether the account
// is active; May does.
func (a Account) Has(r Role) bool { return slices.Contains(a.Roles, r) }

// Longest name of a person.
// House judgement: the longest names on a roll sheet fit with room to spare.
const maxName = 100

// Check returns an error that says what is wrong with the account, for the person who
// fills in the form. It does not look at the password.
func (a Account) Check() error {
	return errors.Join(checkName(a.Name), CheckEmail(a.Email), checkRoles(a.Roles), checkUnits(a.Units))
}

func checkName(name string) error {
	switch {
	case text.Empty(name):
		return errors.New("name: write a name")
	case text.Longer(name, maxName):
		return fmt.Errorf("name: longer than %d characters", maxName)
	case strings.ContainsFunc(name, unicode.IsControl):
		return errors.New("name: has a line break or another control character")
	}
	return nil
}

// CheckEmail refuses a new address that is not in its kept form, or that no mail can reach.
// Accounts that are stored may have one that it refuses: they sign in with it all the same.
func CheckEmail(email string) error {
	clean, err := CleanEmail(email)
	if err == nil && clean != email {
		err = fmt.Errorf("e-mail: %q is not in its kept form %q", email, clean)
	}
	if err != nil {
		return err
	}
	if _, err = text.Address(email); err != nil {
		return fmt.Errorf("e-mail: %q: %w", email, err)
	}
	return nil
}

func checkRoles(roles []Role) error {
	for _, r := range roles {
		if _, err := ParseRole(string(r)); err != nil {
			return fmt.Errorf("roles: %w", err)
		}
	}
	return nil
}

func checkUnits(u Units) error {
	if _, err := ParseUnits(string(u)); err != nil {
		return fmt.Errorf("units: %w", err)
	}
	return nil
}

// CleanEmail brings an address into the form in which accounts are looked up: as
// text.Address has it, in lower case. It refuses what cannot be an address at all.
func CleanEmail(s string) (string, error) {
	clean := strings.ToLower(text.Line(s))
	if address, err := text.Address(clean); err == nil {
		return address, nil
	}
	local, domain, found := strings.Cut(clean, "@")
	switch {
	case clean == "":
		return "", errors.New("e-mail: write an address")
	case len(clean) > text.LongestAddress:
		return "", fmt.Errorf("e-mail: longer than %d characters", text.LongestAddress)
	case !found || local == "" || domain == "" || strings.Contains(domain, "@"):
		return "", fmt.Errorf("e-mail: %q needs one @ with something on both sides", clean)
	case strings.ContainsFunc(clean, unusualInEmail):
		return "", fmt.Errorf("e-mail: %q has a space, a bracket, a comma or a control character", clean)
	}
	return clean, nil
}

func unusualInEmail(r rune) bool {
	return unicode.IsControl(r) || unicode.IsSpace(r) || strings.ContainsRune(`<>()[],;:\"`, r)
}
