package web_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"saltbush/internal/party"
	"saltbush/internal/phone"
	"saltbush/internal/watch"
)

// phone holds the view that a phone makes of the same records to the case.
func (a *agreement) phone(name string, given phone.Given, c watch.Case) {
	a.t.Helper()
	raw, err := json.Marshal(given)
	if err != nil {
		a.t.Fatal(err)
	}
	a.differs(name, c, a.wrongAnswer(phone.Answer(raw), c))
	a.seen[name]++
}

func (a *agreement) wrongAnswer(answer []byte, c watch.Case) []string {
	a.t.Helper()
	var v struct {
		phone.View
		Error string `json:"error"`
	}
	if err := json.Unmarshal(answer, &v); err != nil || v.Error != "" {
		return []string{fmt.Sprintf("%v %s", err, v.Error)}
	}
	return wrongView(v.View, c, a.clock.Now())
}

// wrongView lists what a phone shows otherwise than the case.
func wrongView(v phone.View, c watch.Case, now time.Time) []string {
	var wrong []string
	same := func(what string, got, want any) {
		if fmt.Sprint(got) != fmt.Sprint(want) {
			wrong = append(wrong, fmt.Sprintf("%s is %v, and %v by the case", what, got, want))
		}
	}
	s := c.State
	same("departed", v.Departed, s.Departed.UTC())
	same("all accounted", v.AllAccounted, s.AllAccounted)
	same("out, expected, lost, left early, unnamed",
		[]int{v.Sums.OnTrail, v.Sums.Expected, v.Sums.Lost, v.Sums.LeftEarly, v.Sums.Unnamed},
		[]int{len(s.OnTrail()), s.Expected, s.Lost, s.LeftEarly, s.Unnamed})
	same("missing", v.Missing, s.Missing())
	same("unmarked", v.Unmarked, s.Unmarked())
	if len(v.People) == len(s.People) {
		for i, p := range s.People {
			same(p.Name, []any{v.People[i].Where, v.People[i].Missing}, []any{p.Where, p.Missing})
		}
	} else {
		same("people", len(v.People), len(s.People))
	}
	for route, gate := range map[party.Route]phone.Gate{party.RouteFull: v.Full, party.RouteShort: v.Short} {
		want := party.GateOf(s, c.FullTerms(), route, now)
		same("the gate, "+string(route), []any{gate.Blocked, gate.Against}, []any{want.Blocked(), want.Against()})
	}
	wrong = append(wrong, wrongSearch(v.Search, c)...)
	return append(wrong, wrongEarly(v, c)...)
}

// wrongSearch holds the search on a phone to the alarm of the case.
func wrongSearch(got *phone.Search, c watch.Case) []string {
	search, open := c.State.Searching()
	if !open {
		return nil
	}
	if got == nil {
		return []string{"no search is shown"}
	}
	alarms := c.Alarms()
	i := slices.IndexFunc(alarms, func(a watch.Alarm) bool { return a.Running() && a.Search != nil })
	if i < 0 {
		return []string{"a search is open, and no alarm of the case runs"}
	}
	names, unknown := search.Open()
	alarm := alarms[i]
	is := fmt.Sprint(got.Began, got.RiseAt, got.CallAt, got.Open, got.Unnamed)
	want := fmt.Sprint(alarm.Began.UTC(), alarm.Rise.UTC(), alarm.Call.UTC(), names, unknown)
	if is != want {
		return []string{fmt.Sprintf("the search is %s, and %s by the case", is, want)}
	}
	return nil
}

// wrongEarly holds the groups that left early on a phone to the alarms of the case.
func wrongEarly(v phone.View, c watch.Case) []string {
	var wrong []string
	want := map[string]time.Time{}
	for _, a := range c.Alarms() {
		if a.Search == nil && a.Running() {
			want[fmt.Sprint(a.Persons)] = a.Watch
		}
	}
	for _, g := range v.Early {
		at, runs := want[fmt.Sprint(g.Open)]
		if len(g.Open) > 0 && !g.ConfirmBy.IsZero() && (!runs || at.Sub(g.ConfirmBy).Abs() >= time.Minute) {
			wrong = append(wrong, fmt.Sprintf("%v at the car by %v, and %v by the case", g.Names, g.ConfirmBy, at))
		}
	}
	return wrong
}
