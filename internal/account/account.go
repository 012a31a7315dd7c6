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

// Role is what a person does for the organization. A person may have several roles.
type Role string

// The roles that May knows. An account may have others; they allow nothing.
const (
	Coordinator Role = "coordinator"    // manages the program and the people
	Leader      Role = "leader"         // schedules and leads hikes
	Trainer     Role = "trainer"        // sees staff records and notes observed hikes
	Safety      Role = "safety officer" // reads the board, the watches and the papers, and takes alarms
	OnCall      Role = "on-call"        // keeps the watch from home: the board, and the watches of the day
)

// Roles lists every role in the order that forms offer them.
func Roles() []Role { return []Role{Leader, Coordinator, Trainer, Safety, OnCall} }

// ParseRole reads a role from a form or a table.
func ParseRole(s string) (Role, error) {
	if r := Role(s); slices.Contains(Roles(), r) {
		return r, nil
	}
	return "", fmt.Errorf("%q is not a role: use one of %q", s, Roles())
}

// Units is a person's choice of units for distances, heights and temperatures.
type Units string

// The two choices of units.
const (
	Metric Units = "metric"
	US     Units = "us"
)

// ParseUnits reads a choice of units from a form or a table.
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
	Email        string // as CleanEmail returns it; unique
	Phone        string // for staff and on-call; may be empty
	Roles        []Role
	PasswordHash string // empty until the person sets a password
	Active       bool   // an inactive account may do nothing
	Created      time.Time
	Units        Units
	// Family is for on-call alone. Only SetFamily changes it, and closing the account deletes it.
	Family Family
}

// Has reports whether the account has the role. It does not check whether the account is
// active; May does.
func (a Account) Has(r Role) bool { return slices.Contains(a.Roles, r) }

// maxName is the length limit of a person's name, in characters.
// Our judgment: longer than any name we have seen on a roll sheet.
const maxName = 100

// Check returns what is wrong with the account, worded for the person who fills in the form.
// It does not check the password.
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

// CheckEmail refuses a new address that CleanEmail would change, or that mail cannot reach.
// Stored accounts may have an address that it refuses, and can sign in with it.
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

// CleanEmail returns an address in the form in which accounts are looked up: text.Address in
// lower case. It also accepts addresses that text.Address refuses, if they have one @ and no
// unusual characters: such accounts were stored before addresses were checked.
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
