package retention

import (
	"reflect"
	"strings"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/privacy"
	"saltbush/internal/signup"
)

// Field is a row of the registry: one thing on file about a person who signed up. The package
// comment says how to add one.
type Field struct {
	// Name is what tests, and the people who read their output, call the field.
	Name string
	// Column is the column of table signups that stores it. Part is set if it is only a part of
	// a JSON column, and Table if the column is in another table.
	Table, Column, Part string
	// Kind decides who sees it. Without a kind nobody does.
	Kind privacy.Kind
	// Class decides when it is deleted.
	Class DataClass

	// Key is its name in the file of one's own data; "" if it is not in it. A key with a dot is
	// a value in an object of the file.
	Key string
	// Section is the section on the page of one's own data that lists it, under Label.
	Section Section
	Label   string
	// Note means that the page adds it to the line before, instead of a line of its own.
	Note bool
	// Words formats it for the page; nil if the plain value says enough.
	Words func(s signup.SignUp, zone *time.Location) string

	// Planted is the text that tests write into it, to find out where it is shown and whether
	// it is deleted. It is a format for the number of the person. Only fields with text have
	// one.
	Planted string
	// At returns a pointer to the field of a sign-up. It is nil if nothing reads the column.
	At func(s *signup.SignUp) any
}

// Section is a section of the page on which people read their own data. Its value is the
// section's ID in the page.
type Section string

// The sections that list fields of a sign-up.
const (
	SectionYou     Section = "you"
	SectionWalking Section = "walking"
	SectionCar     Section = "car"
	SectionRisks   Section = "risks"
)

// Stored reports whether the field is a whole column of table signups.
func (f Field) Stored() bool { return f.Table == "" && f.Part == "" }

// Value returns the field of a sign-up.
func (f Field) Value(s signup.SignUp) any { return reflect.ValueOf(f.At(&s)).Elem().Interface() }

// Text formats the field of a sign-up for the page of one's own data; "" if there is nothing to
// list.
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

// Lines returns the lines of a section of the page, without empty ones.
func Lines(s signup.SignUp, section Section, zone *time.Location) []format.Line {
	var lines []format.Line
	written := false // whether the field that a note belongs to has a line
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
	Key   string // see Field.Key
	Value any
}

// Entries returns the values in the file, without empty texts and times.
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
