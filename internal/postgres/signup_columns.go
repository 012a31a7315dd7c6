package postgres

import (
	"context"
	"reflect"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"saltbush/internal/ref"
	"saltbush/internal/retention"
	"saltbush/internal/signup"
)

// signUpColumn is a column of table signups and the field of a sign-up that it stores.
type signUpColumn struct {
	name string
	at   func(s *signup.SignUp) any // a pointer to the field
}

// signUpColumns returns the columns of table signups: those that say nothing about a person,
// and those of the registry of personal fields.
func signUpColumns() signUpTable {
	list := signUpTable{
		{"id", func(s *signup.SignUp) any { return &s.ID }},
		{"hike_id", func(s *signup.SignUp) any { return &s.Hike }},
		{"asked_order", func(s *signup.SignUp) any { return &s.Order }},
		{"held_until", func(s *signup.SignUp) any { return &s.HeldUntil }},
	}
	for _, f := range retention.Fields() {
		if f.Stored() && f.At != nil {
			list = append(list, signUpColumn{f.Column, f.At})
		}
	}
	return list
}

// fixed reports whether the column never changes with the sign-up. The database sets the order,
// and the link is renewed by itself.
func (c signUpColumn) fixed() bool {
	return slices.Contains([]string{"id", "hike_id", "asked_order", "asked", "imported_by", "link"}, c.name)
}

// value returns what a sign-up has in the column.
func (c signUpColumn) value(s signup.SignUp) any { return reflect.ValueOf(c.at(&s)).Elem().Interface() }

// signUpTable is the list of the columns.
type signUpTable []signUpColumn

// query returns a SELECT of sign-ups with the condition and the clauses after it.
func (t signUpTable) query(which string) string {
	names := make([]string, len(t))
	for i, c := range t {
		names[i] = c.name
	}
	return `
		SELECT
			` + strings.Join(names, ", ") + `,
			EXISTS (SELECT FROM medical_cards c WHERE c.signup_id = signups.id) AS carded
		FROM signups
		WHERE ` + which
}

func (t signUpTable) scan(row pgx.CollectableRow) (s signup.SignUp, err error) {
	fields := make([]any, len(t), len(t)+1)
	for i, c := range t {
		fields[i] = c.at(&s)
	}
	return s, row.Scan(append(fields, &s.Carded)...)
}

// signUpsWhere reads the sign-ups that match the condition.
func (db *DB) signUpsWhere(ctx context.Context, which string, a args) ([]signup.SignUp, error) {
	t := signUpColumns()
	rows, _ := db.conn(ctx).Query(ctx, t.query(which), a) // the error comes with the rows
	return pgx.CollectRows(rows, t.scan)
}

// signUpWhere reads the only sign-up that matches the condition.
func (db *DB) signUpWhere(ctx context.Context, which string, a args) (signup.SignUp, error) {
	t := signUpColumns()
	rows, _ := db.conn(ctx).Query(ctx, t.query(which), a)
	return pgx.CollectExactlyOneRow(rows, t.scan)
}

// newSignUpArgs are the columns of a new sign-up. The database sets the order.
func newSignUpArgs(s signup.SignUp) args {
	row := args{}
	for _, c := range signUpColumns() {
		if c.name != "asked_order" {
			row[c.name] = c.value(s)
		}
	}
	return row
}

// signUpArgs are the columns of a sign-up that may change, and its ID.
func signUpArgs(s signup.SignUp) args {
	row := args{"id": s.ID}
	for _, c := range signUpColumns() {
		if !c.fixed() {
			row[c.name] = c.value(s)
		}
	}
	return row
}

// sameFixed reports whether two versions of a sign-up differ only in what may change. What
// people say about their health belongs to their card.
func sameFixed(a, b signup.SignUp) bool {
	for _, c := range signUpColumns() {
		if c.fixed() && !reflect.DeepEqual(c.value(a), c.value(b)) {
			return false
		}
	}
	return a.Needs == b.Needs && a.Carded == b.Carded
}

// clearing returns the SET list that deletes the fields of these classes. Name is the SQL
// expression that replaces the name.
func clearing(name string, classes ...retention.DataClass) string {
	var set []string
	for _, f := range retention.Fields() {
		if f.Stored() && slices.Contains(classes, f.Class) {
			set = append(set, f.Column+" = "+cleared(f, name))
		}
	}
	return strings.Join(set, ", ")
}

// notCleared is true for sign-ups with anything left in the fields of a class.
func notCleared(class retention.DataClass) string {
	var empty []string
	for _, f := range retention.Fields() {
		if f.Stored() && f.Class == class {
			empty = append(empty, f.Column+" = "+cleared(f, ""))
		}
	}
	return "NOT (" + strings.Join(empty, " AND ") + ")"
}

// cleared returns the SQL expression that a field is set to when it is deleted.
func cleared(f retention.Field, name string) string {
	switch {
	case f.Column == "name":
		return name
	case f.Column == "link": // there is no place without one, and nobody knows this one
		return "decode(replace(gen_random_uuid()::text, '-', ''), 'hex')"
	case f.At == nil:
		return "''"
	}
	var s signup.SignUp
	switch v := reflect.ValueOf(f.At(&s)).Elem(); v.Interface().(type) {
	case time.Time, ref.Person:
		return "NULL"
	default:
		return clearedKind(v.Kind())
	}
}

func clearedKind(k reflect.Kind) string {
	switch k {
	case reflect.String:
		return "''"
	case reflect.Bool:
		return "false"
	case reflect.Struct, reflect.Slice:
		return "'{}'"
	}
	return "0"
}
