package fault

import (
	"errors"
	"fmt"
	"sort"
	"strings"

	"saltbush/internal/text"
)

// ErrNotFound is returned, wrapped, for a trail, hike or sign-up that does not exist.
var ErrNotFound = errors.New("not found")

// Refusal is a request that the rules do not allow, worded for the person who made it.
type Refusal string

func (r Refusal) Error() string { return string(r) }

// Invalid is what is wrong with a form: a message for each field, worded for the person who
// filled it in.
type Invalid map[string]string

func (v Invalid) Error() string {
	fields := make([]string, 0, len(v))
	for field, message := range v {
		fields = append(fields, field+": "+message)
	}
	sort.Strings(fields)
	return strings.Join(fields, "; ")
}

// Add adds the fault of a field, if it has none yet.
func (v Invalid) Add(field, message string) {
	if _, known := v[field]; !known {
		v[field] = message
	}
}

// Err returns v, or nil if there are no faults.
func (v Invalid) Err() error {
	if len(v) == 0 {
		return nil
	}
	return v
}

// Require adds a fault if the text is empty or has more characters than most.
func (v Invalid) Require(field, value string, most int, message string) {
	switch {
	case text.Empty(value):
		v.Add(field, message)
	case text.Longer(value, most):
		v.Add(field, "is too long")
	}
}

// AtMost adds a fault if the text has more characters than most.
func (v Invalid) AtMost(field, value string, most int) {
	if text.Longer(value, most) {
		v.Add(field, fmt.Sprintf("is too long: %d characters at most", most))
	}
}

// LongestName is the length limit of a person's name, in characters.
// Our judgment: a name on a roll fits on one line.
const LongestName = 120

// Name cleans the name of a person, and adds a fault if it is empty or too long.
func (v Invalid) Name(field string, name *string, message string) {
	*name = text.Name(*name)
	v.Require(field, *name, LongestName, message)
}

// Address replaces a mail address by its form for sending mail, or adds a fault.
func (v Invalid) Address(field string, address *string, message string) {
	read, err := text.Address(*address)
	if err != nil {
		v.Add(field, message)
		return
	}
	*address = read
}

// OptionalAddress is Address for a field that may be empty.
func (v Invalid) OptionalAddress(field string, address *string) {
	if *address != "" {
		v.Address(field, address, "Give an address that mail can reach, such as you@example.org, or none.")
	}
}

// Phone replaces a phone number by its form for display, or adds a fault.
func (v Invalid) Phone(field string, number *string, region string) {
	whole, err := text.ParsePhone(*number, region)
	if err != nil {
		v.Add(field, err.Error())
		return
	}
	*number = whole.Display()
}
