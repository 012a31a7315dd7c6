package sample

import (
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/rules"
	"saltbush/internal/signup"
	"saltbush/internal/walk"
)

// comingSlots returns the hikes of the next five weeks, except those of addToday.
func comingSlots() []slot {
	return []slot{
		{days: 3, trail: spring, about: "ferns and frogs", places: 12, asked: 16, staff: []int{4, 6},
			notice: "We go slowly past the boulders at the end and stay half an hour. Bring a lamp for the overhang."},
		{days: 5, trail: stair, about: "knob and back", places: 9, asked: 12, pace: walk.Brisk, staff: []int{7, 9},
			notice: "For people who climb stairs for fun. Poles if you have them."},
		{days: 6, trail: flatLoop, about: "wheels and words", places: 20, asked: 7, pace: walk.Gentle,
			staff:  []int{11, 2, 8},
			notice: "Level all the way. Tell us when you sign up if you come on wheels, so that we bring the ramp."},
		{days: 9, trail: ridge, about: "teeth and hawks", places: 10, asked: 9, staff: []int{0, 5}, unsure: []int{5}},
		{days: 13, trail: mesaRim, about: "full round", places: 12, asked: 6, staff: []int{3, 10},
			notice: "The face is no place for fear of heights. Nobody minds if you turn at its foot with a buddy."},
		{days: 17, trail: washLoop, about: "gravel and geology", places: 16, asked: 5, staff: []int{1, both},
			unsure: []int{desk}},
		{days: 20, trail: kettle, about: "to the kettles", places: 12, asked: 4, staff: []int{10, 4}},
		{days: 26, trail: flatLoop, about: "grandparents' morning", places: 20, asked: 3, pace: walk.Gentle,
			staff: []int{8, 11, 3}},
		// The sweep of the hike before cannot be here in time, although the hikes do not overlap.
		{days: 26, later: 2 * time.Hour, trail: stair, about: "late risers", places: 9, asked: 2, staff: []int{9, 11}},
		{days: 33, trail: spring, about: "sketching walk", places: 12, asked: 1, pace: walk.Gentle, staff: []int{6, 0},
			unsure: []int{6}},
	}
}

// forecastDays is how many days ahead leaders enter a forecast.
// Our judgment: public forecasts are useful for a week.
const forecastDays = 7

func (s *season) addComing() error {
	for _, sl := range comingSlots() {
		o := s.schedule(sl, s.morning(sl.days).Add(sl.later))
		if sl.days < forecastDays {
			if err := s.expect(&o, s.forecast(o.hike.Start, 0)); err != nil {
				return err
			}
		}
		if err := s.post(&o, sl.asked); err != nil {
			return err
		}
		s.talks(&o)
		s.outings = append(s.outings, o)
	}
	s.addDraft()
	return nil
}

// talks leaves open the talks with the last third of the people who asked, if there is
// something to talk about.
func (s *season) talks(o *outing) {
	if len(o.places) > o.hike.Places {
		return // full: it shows a waiting list
	}
	for i := len(o.places) * 2 / 3; i < len(o.places); i++ {
		var p *plan.Plan
		if o.plan != nil {
			p = &o.plan.Plan
		}
		o.places[i].Screening.Talk = signup.TalkFirst(o.places[i], s.trails[o.trail], p, rules.DefaultRules())
	}
}

// addDraft adds a hike that is not posted yet.
func (s *season) addDraft() {
	sl := slot{days: 23, trail: traverse, about: "both ends by car", places: 10, pace: walk.Brisk,
		staff: []int{lateLeader, 7}, unsure: []int{7},
		notice: "Draft: still looking for drivers for the shuttle."}
	s.outings = append(s.outings, s.schedule(sl, s.morning(sl.days)))
}
