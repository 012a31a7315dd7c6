package hike

import (
	"errors"
	"sort"
	"strings"
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

// require notes a missing or overlong text.
func (v Invalid) require(field, value string, longest int, message string) {
	switch {
	case strings.TrimSpace(value) == "":
		v.Add(field, message)
	case len(value) > longest:
		v.Add(field, "is too long")
	}
}
