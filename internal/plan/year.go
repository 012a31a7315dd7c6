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

// MonthPlan is one month, judged by its fifteenth day. A month without normals is unknown: its days are nil and it has
// no starts.
type MonthPlan struct {
	Month time.Month `json:"month"`
	Known bool       `json:"known"`
	Date  string     `json:"date"`
	// Usual is the month's mean day, Hot the same day hotter by the month's own spread or by the allowance of the
	// rules.
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

// YearStart is one hour of a month. The graver of its two days decides.
type YearStart struct {
	At     Instant `json:"at"`
	Answer Answer  `json:"answer"`
	// Limit names the limit that weighs most; empty where the trail may be led.
	Limit string `json:"limit,omitempty"`
	// DecidedBy is the day that decides: the hot one where it alone is so grave, otherwise the usual day.
	DecidedBy string `json:"decided_by"`
	// Usual and Hot are the decisions of a plan for that start on each day.
	Usual Decision `json:"usual_day"`
	Hot   Decision `json:"hot_day"`
}

// Answer is whether a trail may be led at an hour of a month.
type Answer string

// The answers, from calm to grave. With care means that a plan warns, or asks for no more than the first step of the
// ladder.
const (
	MayBeLed Answer = "may be led"
	WithCare Answer = "with care"
	Not      Answer = "not"
)

// The two days of a month, by the names that YearStart.DecidedBy uses.
const (
	UsualDay = "usual day"
	HotDay   = "hot day"
)

const (
	// Our judgment: the middle of a month represents it.
	middleOfMonth = 15
	// Our judgment: hours at which people can be asked to come to a trailhead.
	firstYearHour, lastYearHour = 3, 20
)

// Year says for every hour of the twelve middle days of a year whether the trail may be led. The start of the input
// only gives the year and the zone; its forecast is not used. Every answer is the one that Compute gives for that
// start. The error is an InputError, or several joined, where the input is at fault.
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

// fill computes one month. The route of another month, if there is one, saves placing the walk again. It returns the
// route of this month.
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

// yearRoute places the walk in a day, starting from another day's route if there is one. The table covers every start
// of the year's hours.
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
		later(last.Add(other.timing.estimate.P90), d.last.Add(time.Hour)))
}

func (r *route) yearDay() *YearDay {
	w := r.window()
	return &YearDay{Forecast: r.in.Forecast, Earliest: w.Earliest, Latest: w.Latest, Care: w.Care, Limits: w.Limits}
}

// yearAnswer is the answer of one day to a start.
type yearAnswer struct {
	answer   Answer
	decision Decision
	limit    string
}

func (r *route) yearAnswer(at time.Time) yearAnswer {
	m := r.simulate(at)
	l, w := m.exceeded.worst()
	for _, k := range r.dataReasons() {
		w = max(w, k.weight)
	}
	a := yearAnswer{answer: MayBeLed, decision: w.decision()}
	switch {
	case m.exceeded.weight() == passes && w > warns:
		a.answer, a.limit = Not, "time zone"
	case m.exceeded.weight() == warns, r.onlyFirstStep(m):
		a.answer, a.limit = WithCare, l.String()
	case w > warns:
		a.answer, a.limit = Not, l.String()
	}
	return a
}

// onlyFirstStep reports whether no limit asks for more than the first step of the ladder or, on a strict day, than to
// stay in the allowed window.
func (r *route) onlyFirstStep(m outcome) bool {
	if m.exceeded.weight() < changes {
		return false
	}
	if r.in.Rules.Ladder.Rung(m.felt+slack) == heat.ShorterOrEarlier {
		m.exceeded[ofLadder] = passes
	}
	if m.exceeded[ofOfficial] == changes {
		m.exceeded[ofOfficial] = passes // in the allowed window of a strict day
	}
	return m.passes()
}

func (a Answer) rank() int { return map[Answer]int{MayBeLed: 0, WithCare: 1, Not: 2}[a] }

// yearStart lets the graver day decide, the usual one where both are equally grave.
func yearStart(at time.Time, usual, hot yearAnswer) YearStart {
	s := YearStart{At: instant(at), Answer: usual.answer, Limit: usual.limit, DecidedBy: UsualDay,
		Usual: usual.decision, Hot: hot.decision}
	if hot.answer.rank() > usual.answer.rank() {
		s.Answer, s.Limit, s.DecidedBy = hot.answer, hot.limit, HotDay
	}
	return s
}

// yearFigures explain a year, in its order.
func yearFigures() []figure {
	const normals, typed = "the monthly normals", "whoever typed them"
	list := []figure{
		{"model", "version of the formulas", "", byJudgement},
		{"year", "year of the twelve middle days", "{start}", byJudgement},
		{"months[].month", "January first", "", byJudgement},
		{"months[].known", "the month has normals", normals, byJudgement},
		{"months[].starts[].at", fmt.Sprintf("whole hours from %02d:00 to %02d:00 on the %dth", firstYearHour,
			lastYearHour, middleOfMonth), "{start}", byJudgement},
		{"months[].starts[].answer",
			"the graver of the two days: a go without warnings may be led; a go with warnings, " +
				"or a change by the ladder's first step alone, is with care; all else is not", "{ladder}; {used}",
			byJudgement},
		{"months[].starts[].decided_by", "the hot day where only that is so grave, else the usual day", normals,
			byJudgement},
		{"months[].starts[].usual_day", "as the verdict of a plan for that start on the usual day",
			"{way}; {party}; {ladder}", byJudgement},
		{"months[].starts[].hot_day", "as the verdict of a plan for that start on the hot day",
			"{way}; {party}; {ladder}", byJudgement},
	}
	for _, day := range []struct{ key, temperature string }{
		{"months[].usual_day", "as typed"},
		{"months[].hot_day", "as typed, and hotter by the month's hot_by or the house's allowance"},
	} {
		const window = "as the start window of a plan for that day"
		list = append(list, under(day.key, []figure{
			{"air.low_c", day.temperature, normals, typed},
			{"air.high_c", day.temperature, normals, typed},
			{"air.dew_point_c", "as typed, or from the humidity at the high",
				normals, typed + "; " + heat.HumiditySource},
			{"air.wind_m_s", "as typed", normals, typed},
			{"air.cloud", "as typed", normals, typed},
			{"earliest", window, "{ladder}", byJudgement},
			{"latest", window, "{ladder}; margin {margin}", byJudgement},
			{"with_care.earliest", window, "{ladder}", byJudgement},
			{"with_care.latest", window, "{ladder}", byJudgement},
		})...)
	}
	return list
}
