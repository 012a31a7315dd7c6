package retention

import (
	"reflect"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
)

// Field is one thing that is on file about a person who signed up: a row of the registry.
// The package comment says how to add one.
type Field struct {
	// Name is what tests and people who read them call the field.
	Name string
	// Column is the column of the table signups that holds it, and Part the key where it is
	// only a part of what the column holds as JSON. Table is set where it is another table's.
	Table, Column, Part string
	// Kind decides who sees it. No kind: it is shown to nobody.
	Kind privacy.Kind
	// Class decides when it is deleted.
	Class DataClass

	// Key is its name in the file of one's own data, after a dot where it lies in an object of
	// that file. No key: it is not in the file.
	Key string
	// Section is the part of the page of one's own data that lists it, under Label.
	Section Section
	Label   string
	// Note says that the page writes it behind the line before, and not on a line of its own.
	Note bool
	// Words writes it for the page where the plain value says too little; nil elsewhere.
	Words func(s signup.SignUp, zone *time.Location) string

	// Planted is what tests write into it, with the number of the person in place of its verb,
	// to see where it is shown and when it is gone. Only fields that hold text have one.
	Planted string
	// At is where a sign-up holds it, a pointer. It is nil where nothing reads the column.
	At func(s *signup.SignUp) any
}

// Section is a part of the page on which people read what is on file about them. Its value is
// the part's name in the page's addresses.
type Section string

// The sections that list fields of a sign-up.
const (
	SectionYou     Section = "you"
	SectionWalking Section = "walking"
	SectionCar     Section = "car"
	SectionRisks   Section = "risks"
)

// Stored reports whether the field is a column of the table of sign-ups, whole.
func (f Field) Stored() bool { return f.Table == "" && f.Part == "" }

// Value is what a sign-up holds in the field.
func (f Field) Value(s signup.SignUp) any { return reflect.ValueOf(f.At(&s)).Elem().Interface() }

// Text is the field of a sign-up as the page of one's own data writes it, "" for nothing.
func (f Field) Text(s signup.SignUp, zone *time.Location) string {
	if f.Words != nil {
		return f.Words(s, zone)
	}
	switch v := f.Value(s).(type) {
	case time.Time:
		return momentOrNothing(v, zone)
	case []string:
		return strings.Join(v, " ")
	case bool:
		if v {
			return "yes"
		}
		return ""
	default:
		return reflect.ValueOf(v).String()
	}
}

func momentOrNothing(t time.Time, zone *time.Location) string {
	if t.IsZero() {
		return ""
	}
	return format.Moment(t, zone)
}

// Lines lists what a section of the page says about a sign-up. What is empty has no line.
func Lines(s signup.SignUp, section Section, zone *time.Location) []format.Line {
	var lines []format.Line
	written := false // the line that a note belongs to
	for _, f := range Fields() {
		if f.Section != section {
			continue
		}
		text := f.Text(s, zone)
		switch {
		case !f.Note:
			if written = text != ""; written {
				lines = append(lines, format.Line{Label: f.Label, Value: text})
			}
		case written:
			lines[len(lines)-1].Note = text
		}
	}
	return lines
}

// Entry is one value in the file of one's own data.
type Entry struct {
	Key   string // after a dot where it lies in an object of the file
	Value any
}

// Entries lists what the file says about a sign-up. Empty texts and times are left out.
func Entries(s signup.SignUp) []Entry {
	var list []Entry
	for _, f := range Fields() {
		if f.Key == "" {
			continue
		}
		v := f.Value(s)
		switch reflect.ValueOf(v).Kind() {
		case reflect.String:
			if reflect.ValueOf(v).IsZero() {
				continue
			}
		case reflect.Struct:
			if at, is := v.(time.Time); is && at.IsZero() {
				continue
			}
		}
		list = append(list, Entry{Key: f.Key, Value: v})
	}
	return list
}
