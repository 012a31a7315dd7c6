package signups

import (
	"bytes"
	"encoding/json"
	"strings"

	"saltbush/internal/retention"
)

// file is the data as the person takes it away: the fields of the registry, then the rest.
func (d ownData) file() object {
	o := object{{"hike", d.Hike}, {"meet", d.Meet}}
	for _, e := range retention.Entries(d.Person) {
		o.add(e.Key, e.Value)
	}
	if d.Card != nil {
		o.add("medical_card", d.Card)
	}
	if d.CardLost {
		o.add("medical_card_unreadable", true)
	}
	o.add("medical_card_openings", d.Openings)
	o.add("records", d.Records)
	o.add("kept_until", d.Kept)
	return o
}

// object is a JSON object that keeps the order of its keys.
type object []member

type member struct {
	key   string
	value any
}

// add appends a value. A key with a dot goes into the object before, which it begins.
func (o *object) add(key string, value any) {
	outer, inner, dotted := strings.Cut(key, ".")
	if !dotted {
		*o = append(*o, member{key, value})
		return
	}
	var within object
	if last := len(*o) - 1; last >= 0 && (*o)[last].key == outer {
		within, _ = (*o)[last].value.(object)
		*o = (*o)[:last]
	}
	within.add(inner, value)
	*o = append(*o, member{outer, within})
}

// MarshalJSON is for encoding/json.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		key, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
