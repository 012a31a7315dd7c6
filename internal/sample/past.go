package sample

import (
	"fmt"
	"saltbush/internal/party"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/trail"
	"saltbush/internal/walk"
)

// pastSlots returns the hikes of the last ten weeks, latest first.
func pastSlots() []slot {
	return []slot{
		{days: -3, trail: mesaRim, about: "once around", places: 12, asked: 11, staff: []int{2, 3}},
		{days: -6, trail: spring, about: "ferns in the desert", places: 12, asked: 12, staff: []int{4, 5}},
		{days: -10, trail: washLoop, about: "reading the gravel", places: 16, asked: 14, staff: []int{6, 7, 8}},
		{days: -13, trail: ridge, about: "teeth in the wind", places: 10, asked: 10, pace: walk.Brisk,
			staff: []int{0, 9}},
		{days: -17, trail: kettle, about: "down first, up last", places: 12, asked: 12, staff: []int{1, 10}},
		{days: -20, trail: flatLoop, about: "wheels and canes welcome",
			places: 20, asked: 15, pace: walk.Gentle, staff: []int{11, 2, 4}},
		{days: -24, trail: stair, about: "knees and views", places: 9, asked: 9, staff: []int{both, 6}},
		{days: -31, trail: spring, about: "bird ears", places: 12, asked: 8, pace: walk.Gentle, staff: []int{3, 8}},
		{days: -34, trail: mesaRim, about: "stones and stories", places: 12, asked: 10, staff: []int{5, 0}},
		{days: -41, trail: washLoop, about: "tracks of the night", places: 16, asked: 12, staff: []int{7, 1}},
		{days: -45, trail: ridge, about: "along the crest", places: 10, asked: 9, staff: []int{10, 11}},
		{days: -52, trail: flatLoop, about: "for the very first time",
			places: 20, asked: 18, pace: walk.Gentle, staff: []int{8, both, 9}},
		{days: -59, trail: stair, about: "short and honest", places: 9, asked: 8, staff: []int{9, 3}},
		{days: -66, trail: spring, about: "new boots", places: 12, asked: 9, staff: []int{2, 7}},
	}
}

// Indexes in pastSlots of the hikes that did not go as planned.
const (
	earlyLeaver = 1
	twoCounts   = 2 // leader and sweep count on two phones
	turnsBack   = 3
	heatCancels = 4
	walkUp      = 5
)

func (s *season) addPast() error {
	for i, sl := range pastSlots() {
		start := s.morning(sl.days)
		if i == heatCancels {
			if err := s.addCalledOff(sl, start); err != nil {
				return err
			}
			continue
		}
		o, err := s.fit(sl, start)
		if err != nil {
			return err
		}
		if err := s.walked(&o, i, sl.asked); err != nil {
			return err
		}
		s.outings = append(s.outings, o)
	}
	return nil
}

// fit schedules the slot on its trail, or on an easier one if the day is too hot, as leaders
// do.
func (s *season) fit(sl slot, start time.Time) (best outing, err error) {
	f := s.forecast(start, -1)
	wanted := sl.trail
	for _, easier := range []int{wanted, spring, stair, flatLoop} {
		if sl.trail = easier; easier != wanted {
			sl.about = fmt.Sprintf("cooler than %s, %s", s.trails[wanted].Name, start.Format("2 January"))
		}
		o := s.schedule(sl, start)
		if err := s.expect(&o, f); err != nil {
			return o, err
		}
		if best.plan == nil || calmer(o, best) {
			best = o
		}
		if best.plan.Plan.Verdict.Decision == plan.Go {
			return best, nil
		}
	}
	if best.plan.Plan.Verdict.Decision == plan.Cancel {
		err = s.expect(&best, mild(f))
	}
	return best, err
}

// calmer reports whether the plan of a has the milder advice: go, then change, then cancel.
func calmer(a, b outing) bool {
	grave := map[plan.Decision]int{plan.Go: 0, plan.Change: 1, plan.Cancel: 2}
	return grave[a.plan.Plan.Verdict.Decision] < grave[b.plan.Plan.Verdict.Decision]
}

// addCalledOff adds the hike that was called off because of the heat.
func (s *season) addCalledOff(sl slot, start time.Time) error {
	o := s.schedule(sl, start)
	if err := s.expect(&o, hot(s.forecast(start, 2))); err != nil {
		return err
	}
	if err := s.post(&o, sl.asked); err != nil {
		return err
	}
	high := o.hike.Forecast.High
	o.calledOff = fmt.Sprintf("The forecast rose to %.0f C (%.0f F), and the way back is a climb in the sun. We will "+
		"offer the hike again when it is cooler.",
		high.Celsius(), high.Fahrenheit())
	s.outings = append(s.outings, o)
	return nil
}

// walked posts a hike, decides that it goes, and writes its roll to the end.
func (s *season) walked(o *outing, kind, asked int) error {
	if err := s.post(o, asked); err != nil {
		return err
	}
	if err := s.decide(o); err != nil {
		return err
	}
	b := s.book(o, o.hike.Start.Add(s.minutes(0, 12)), 0)
	b.drawDuration(o.plan.Plan)
	absent := 0
	if kind == walkUp {
		absent = 1
	}
	b.gather(absent)
	if kind == walkUp {
		b.walkUp(s.next().name)
	}
	b.depart()
	b.onward(kind)
	b.back()
	return nil
}

// onward writes the events between the departure and the return.
func (b *book) onward(kind int) {
	points := b.onTheWay()
	for i, p := range points {
		switch {
		case kind == twoCounts:
			b.countTwice(p)
		case kind == turnsBack && i == 1:
			b.turnBack(p)
			return
		default:
			b.count(p)
		}
		if kind == earlyLeaver && i == 1 {
			b.leaveEarly(p)
		}
	}
}

// turnBack writes that the party turned back at a point, and shortens its day.
func (b *book) turnBack(p trail.Point) {
	b.count(p)
	at := b.reach(p.Along).Add(12 * time.Minute)
	b.write(at, party.Event{Kind: party.KindReported, Note: "Turned back at " + p.Name +
		": gusts that push people over, nobody hurt. All walk back together."})
	b.took = at.Sub(b.departed)*2 - 10*time.Minute
}
