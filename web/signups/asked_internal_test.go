package signups

import (
	"net/url"
	"reflect"
	"testing"

	"saltbush/internal/retention"
	"saltbush/internal/rules"
	"saltbush/web/kit"
)

// notAsked lists the texts about a person that the form for a place does not ask for, with where
// they come from.
var notAsked = map[string]string{
	"where the car stands":         "the leader's list of cars",
	"state":                        "the program",
	"reason to turn away":          "a coordinator",
	"brought in by":                "the import",
	"unsealed action line":         "older versions",
	"version of the risks":         "the program",
	"private link":                 "the program",
	"outcome's reason":             "the talk",
	"answer":                       "the talk",
	"outcome":                      "the talk",
	"reason for a talk":            "the screening",
	"adult in charge, on the roll": "the program, from the name",
}

// Everything written about a person is asked for, or written on a list with its source.
func TestEveryTextOfTheRegistryIsAskedFor(t *testing.T) {
	form := SignUpForm(FormFor{Rules: rules.Rules{}})
	typed := url.Values{}
	for _, q := range form {
		typed.Set(q.Field.Name, "7")
		if len(q.Field.Options) > 0 {
			typed.Set(q.Field.Name, q.Field.Options[len(q.Field.Options)-1].Value)
		}
	}
	var a Answers
	form.Read(kit.FormOf(typed), &a)
	for _, f := range retention.Fields() {
		if f.At == nil {
			continue
		}
		at := reflect.ValueOf(f.At(&a.SignUp))
		if at.Kind() != reflect.Pointer || at.Elem().Kind() != reflect.String {
			continue
		}
		source, excepted := notAsked[f.Name]
		if asked := at.Elem().Len() > 0; asked == excepted {
			t.Errorf("%s: asked for %t; the list of exceptions says %q", f.Name, asked, source)
		}
	}
}
