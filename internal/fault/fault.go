package fault

import (
	"errors"
	"fmt"
	"sort"
	"strings"

	"saltbush/internal/text"
)

// ErrNotFound is returned (wrapped) where no such trail, hike or sign-up exists.
var ErrNotFound = errors.New("not found")

// Refusal is a request that the rules do not allow. Its text is meant for the person
// who asked.
type Refusal string

func (r Refusal) Error() string { return string(r) }

// Invalid holds what is wrong with a form, a message beside each field's name. Messages
// are meant for the person who typed.
type Invalid map[string]string

func (v Invalid) Error() string {
	fields := make([]string, 0, len(v))
	for field, message := range v {
		fields = append(fields, field+": "+message)
	}
	sort.Strings(fields)
	return strings.Join(fields, "; ")
}

// Add notes a fault; the first fault of a field is kept.
func (v Invalid) Add(field, message string) {
	if _, known := v[field]; !known {
		v[field] = message
	}
}

// Err returns v as an error, or nil where nothing is wrong.
func (v Invalid) Err() error {
	if len(v) == 0 {
		return nil
	}
	return v
}

// Require notes a text that is missing or has more characters than most.
func (v Invalid) Require(field, value string, most int, message string) {
	switch {
	case text.Empty(value):
		v.Add(field, message)
	case text.Longer(value, most):
		v.Add(field, "is too long")
	}
}

// AtMost notes a text that has more characters than most; an empty one is none.
func (v Invalid) AtMost(field, value string, most int) {
	if text.Longer(value, most) {
		v.Add(field, fmt.Sprintf("is too long: %d characters at most", most))
	}
}

// LongestName is of a person. House judgement: a name on a roll stays on one line.
const LongestName = 120

// Name cleans the name of a person and notes where it is missing or overlong.
func (v Invalid) Name(field string, name *string, message string) {
	*name = text.Name(*name)
	v.Require(field, *name, LongestName, message)
}

// Address checks an address beside its field and puts it into the form in which mail goes
// to it.
func (v Invalid) Address(field string, address *string, message string) {
	read, err := text.Address(*address)
	if err != nil {
		v.Add(field, message)
		return
	}
	*address = read
}

// OptionalAddress is address for a field that may stay empty.
func (v Invalid) OptionalAddress(field string, address *string) {
	if *address != "" {
		v.Address(field, address, "Give an address that mail can reach, such as you@example.org, or none.")
	}
}

// Phone checks a number beside its field and puts it into the form in which it is kept.
func (v Invalid) Phone(field string, number *string, region string) {
	whole, err := text.ParsePhone(*number, region)
	if err != nil {
		v.Add(field, err.Error())
		return
	}
	*number = whole.Display()
}
