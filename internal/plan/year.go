package plan

import (
	"fmt"
	"strings"
	"time"

	"saltbush/internal/caution"
	"saltbush/internal/heat"
)

// YearPlan says in which months and at which hours a trail may be led.
type YearPlan struct {
	Model string `json:"model"`
	Year  int    `json:"year"`
	// Months are all twelve, January first.
	Months   []MonthPlan `json:"months"`
	Notes    []string    `json:"notes"`
	Cautions []string    `json:"cautions"`
}

// MonthPlan is one month, told by its fifteenth day. A month without normals is not known:
// its days are nil and it has no starts.
type MonthPlan struct {
	Month time.Month `json:"month"`
	Known bool       `json:"known"`
	Date  string     `json:"date"`
	// Usual is the month's mean day, Hot the same day hotter by the month's own spread or
	// by the house's allowance.
	Usual  *YearDay    `json:"usual_day"`
	Hot    *YearDay    `json:"hot_day"`
	Starts []YearStart `json:"starts"`
}

// YearDay is the start window of one of the two days.
type YearDay struct {
	Forecast Forecast `json:"air"`
	Earliest Instant  `json:"earliest"`
	Latest   Instant  `json:"latest"`
	Care     *Care    `json:"with_care"`
	Limits   []string `json:"limits"`
}

// YearStart is one hour of a month. The graver of the two days answers.
type YearStart struct {
	At     Instant `json:"at"`
	Answer Answer  `json:"answer"`
	// Limit names what weighs most; empty where the trail may be led.
	Limit string `json:"limit,omitempty"`
	// DecidedBy is the day that answers: the usual day, or the hot one where only that is
	// so grave.
	DecidedBy string `json:"decided_by"`
	// Usual and Hot are the advice of a plan for that start on either day.
	Usual Decision `json:"usual_day"`
	Hot   Decision `json:"hot_day"`
}

// Answer is whether a trail may be led at an hour of a month.
type Answer string

// The answers, from calm to grave. With care is what a plan warns of, or what asks for no
// more than the house ladder's first step.
const (
	MayBeLed Answer = "may be led"
	WithCare Answer = "with care"
	Not      Answer = "not"
)

// The two days of a month, as a start names the one that decides.
const (
	UsualDay = "usual day"
	HotDay   = "hot day"
)

const (
	// House judgement: the middle of a month stands for it.
	middleOfMonth = 15
	// House judgement: hours at which people are asked to come to a trailhead.
	firstYearHour, lastYearHour = 3, 20
)

// Year answers for every hour of the year's twelve middle days. The start of the input
// only says which year it is and in which zone; its forecast is not used. Every answer is
// the one that Compute gives for that start. The error is an InputError (or several joined)
// where the input is at fault.
func Year(in Input, normals Normals) (YearPlan, error) {
	if err := in.validateWalk(); err != nil {
		return YearPlan{}, err
	}
	if err := normals.Validate(); err != nil {
		return YearPlan{}, err
	}
	y := YearPlan{Model: Model, Year: in.Start.Year(), Notes: yearNotes(in, normals), Cautions: caution.ForPlan()}
	var r *route
	for m := time.January; m <= time.December; m++ {
		mp := MonthPlan{Month: m, Date: midMonth(in.Start, m, 0).Format(time.DateOnly), Starts: []YearStart{}}
		if n, known := normals[m]; known {
			var err error
			if r, err = mp.fill(in, n, r); err != nil {
				return YearPlan{}, err
			}
		}
		y.Months = append(y.Months, mp)
	}
	return y, nil
}

func midMonth(of time.Time, m time.Month, hour int) time.Time {
	return time.Date(of.Year(), m, middleOfMonth, hour, 0, 0, 0, of.Location())
}

func yearNotes(in Input, normals Normals) []string {
	notes := []string{"Each month is told by its 15th: at either end of it sun and heat differ from that."}
	if missing := normals.missing(); len(missing) > 0 {
		notes = append(notes, fmt.Sprintf("No normals for %s: nothing is known of them.", strings.Join(missing, ", ")))
	}
	if !in.Profile.HasElevation {
		notes = append(notes,
			"The track has no heights: climb, effort, time and water are for level ground and so too low.")
	}
	return notes
}

// fill answers for one month. The route of another month, where there is one, saves laying
// out the walk again; the route of this month is returned.
func (mp *MonthPlan) fill(in Input, n Normal, other *route) (*route, error) {
	in.Start, in.Forecast = midMonth(in.Start, mp.Month, firstYearHour), n.forecast()
	usual, err := yearRoute(in, other)
	if err != nil {
		return nil, err
	}
	in.Forecast = in.Forecast.hotter(n.hotBy(in.Rules.ForecastError))
	in.Forecast.High = min(in.Forecast.High, hottestHigh)
	hot, err := yearRoute(in, usual)
	if err != nil {
		return nil, err
	}
	mp.Known, mp.Usual, mp.Hot = true, usual.yearDay(), hot.yearDay()
	for hour := firstYearHour; hour <= lastYearHour; hour++ {
		at := midMonth(in.Start, mp.Month, hour)
		mp.Starts = append(mp.Starts, yearStart(at, usual.yearAnswer(at), hot.yearAnswer(at)))
	}
	return usual, nil
}

// yearRoute lays the walk into a day, from another day's route where there is one. The
// table covers every start of the year's hours.
func yearRoute(in Input, other *route) (*route, error) {
	if other == nil {
		var err error
		if other, err = newRoute(in); err != nil {
			return nil, err
		}
	}
	d, err := newDay(in)
	if err != nil {
		return nil, err
	}
	last := midMonth(in.Start, in.Start.Month(), lastYearHour)
	return other.onDay(in, d, earlier(in.Start, d.first),
		later(last.Add(other.march.estimate.P90), d.last.Add(time.Hour)))
}

// onDay carries a route over to another day on the same heights.
func (r *route) onDay(in Input, d day, from, to time.Time) (*route, error) {
	levels := r.table.levels // the same levels, so the passages fit
	tb, err := newTable(d, from, to, levels[0], levels[len(levels)-1])
	if err != nil {
		return nil, err
	}
	other := *r
	other.in, other.day, other.table = in, d, tb
	other.hot = hotStretches(tb, r.lowest, r.limit, in.Rules.Ladder)
	return &other, nil
}

func (r *route) yearDay() *YearDay {
	w := r.window()
	return &YearDay{Forecast: r.in.Forecast, Earliest: w.Earliest, Latest: w.Latest, Care: w.Care, Limits: w.Limits}
}

// yearAnswer is what one day says of a start.
type yearAnswer struct {
	answer   Answer
	decision Decision
	limit    string
}

func (r *route) yearAnswer(at time.Time) yearAnswer {
	m := r.simulate(at)
	l, w := m.found.worst()
	for _, k := range r.knowledge() {
		w = max(w, k.weight)
	}
	a := yearAnswer{answer: MayBeLed, decision: w.decision()}
	switch {
	case m.found.weight() == passes && w > warns:
		a.answer, a.limit = Not, "time zone"
	case m.found.weight() == warns, r.onlyFirstStep(m):
		a.answer, a.limit = WithCare, l.String()
	case w > warns:
		a.answer, a.limit = Not, l.String()
	}
	return a
}

// onlyFirstStep reports whether nothing asks for more than the house ladder's first step, or
// on a day of a warning than to stay in its allowed window.
func (r *route) onlyFirstStep(m outcome) bool {
	if m.found.weight() < changes {
		return false
	}
	if r.in.Rules.Ladder.Rung(m.felt+slack) == heat.ShorterOrEarlier {
		m.found[ofLadder] = passes
	}
	if m.found[ofOfficial] == changes {
		m.found[ofOfficial] = passes // the allowed window of a strict day
	}
	return m.passes()
}

func (a Answer) rank() int { return map[Answer]int{MayBeLed: 0, WithCare: 1, Not: 2}[a] }

// yearStart lets the graver day answer; where both are as grave it is the usual one.
func yearStart(at time.Time, usual, hot yearAnswer) YearStart {
	s := YearStart{At: instant(at), Answer: usual.answer, Limit: usual.limit, DecidedBy: UsualDay,
		Usual: usual.decision, Hot: hot.decision}
	if hot.answer.rank() > usual.answer.rank() {
		s.Answer, s.Limit, s.DecidedBy = hot.answer, hot.limit, HotDay
	}
	return s
}
