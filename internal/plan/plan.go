package plan

import (
	"encoding/json"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// Plan is the plan of one hike. Its JSON form is stable, and keys name their units.
type Plan struct {
	Model      string      `json:"model"`
	Trail      Trail       `json:"trail"`
	Time       Time        `json:"time"`
	Sun        Sun         `json:"sun"`
	Official   Official    `json:"official"`
	Heat       Heat        `json:"heat"`
	Water      Water       `json:"water"`
	Food       Food        `json:"food"`
	Return     *Return     `json:"return,omitempty"`
	Turnaround Turnaround  `json:"turnaround"`
	Window     StartWindow `json:"start_window"`
	// Short is nil if no shorter walk is worth offering.
	Short    *ShortOption `json:"short_option"`
	Verdict  Verdict      `json:"verdict"`
	Cautions []string     `json:"cautions"`
}

// Trail holds the figures of the whole walk, way back included.
type Trail struct {
	Distance unit.Length  `json:"distance_m"`
	Ascent   unit.Length  `json:"ascent_m"`
	Descent  unit.Length  `json:"descent_m"`
	Lowest   unit.Length  `json:"lowest_m"`
	Highest  unit.Length  `json:"highest_m"`
	Steepest unit.Percent `json:"steepest_percent"`
	Rating   Rating       `json:"rating"`
	// Notes say what is known about the quality of the track, such as missing heights.
	Notes []string `json:"notes"`
}

// Rating is the published difficulty number and its class.
type Rating struct {
	Number int         `json:"number"`
	Class  track.Class `json:"class"`
	Raised string      `json:"raised,omitempty"`
}

// Time is how long the walk takes. Half of all such parties are back by P50, nine in ten by P90. Both include breaks.
type Time struct {
	MovingP50 Seconds `json:"moving_p50_s"`
	Breaks    Seconds `json:"breaks_s"`
	P50       Seconds `json:"p50_s"`
	P90       Seconds `json:"p90_s"`
	// Points are the named places in the order in which they were given.
	Points []TimePoint `json:"points"`
	Pace   Pace        `json:"pace"`
	// Opinions are the walking times of other published rules by their names.
	Opinions map[string]Opinion `json:"second_opinions"`
}

// TimePoint is when the party first comes to a named place, and when it passes there again on a walk that comes back
// the same way.
type TimePoint struct {
	Name  string      `json:"name"`
	Along unit.Length `json:"at_m"`
	// Share is the share of the walk's time that is over here, BackShare the same when passing again; zero where the
	// walk does not. The times follow from them. JSON holds only the times: reading it restores the shares.
	Share     unit.Fraction `json:"-"`
	BackShare unit.Fraction `json:"-"`
	// BackP50 and BackP90 are null where the walk does not pass again.
	P50     Instant `json:"p50"`
	P90     Instant `json:"p90"`
	BackP50 Instant `json:"back_p50"`
	BackP90 Instant `json:"back_p90"`
}

// Pace is the leader's beat, with the length of the step on the level, on the mean climb and on the mean descent.
type Pace struct {
	Beat  int         `json:"steps_per_min"`
	Level unit.Length `json:"stride_level_m"`
	Up    unit.Length `json:"stride_up_m"`
	Down  unit.Length `json:"stride_down_m"`
}

// Opinion is the walking time by another rule, for one person without breaks, and how far it is from ours for the
// same person. Differs marks more than 30 %.
type Opinion struct {
	Moving     Seconds      `json:"moving_s"`
	Difference unit.Percent `json:"difference_percent"`
	Differs    bool         `json:"differs"`
}

// Sun holds the light of the day at the trailhead, for a level horizon. The time of an event that does not happen is
// zero, and null in JSON.
type Sun struct {
	CivilDawn Instant `json:"civil_dawn"`
	Sunrise   Instant `json:"sunrise"`
	Sunset    Instant `json:"sunset"`
	CivilDusk Instant `json:"civil_dusk"`
}

// Heat is the heat of the day. The peaks are those that the party meets between its start and its P90 return; the
// hours cover the whole day in the open.
type Heat struct {
	PeakWBGT unit.Temperature `json:"peak_wbgt_c"`
	PeakAir  unit.Temperature `json:"peak_air_c"`
	PeakAt   Instant          `json:"peak_at"`
	// Limit is the occupational limit for the hardest hour of this walk: the recommended exposure limit for
	// acclimatized people, the alert limit for everybody else.
	Limit unit.Temperature `json:"limit_wbgt_c"`
	// AlertLimit and ExposureLimit are both limits for that hour: for people not used to heat, and for those who are.
	// Above the first people need more rest, shade and water; above the second everybody must be off the trail.
	AlertLimit    unit.Temperature `json:"alert_limit_wbgt_c"`
	ExposureLimit unit.Temperature `json:"exposure_limit_wbgt_c"`
	// OffBy is when the open trail passes a limit of the day; zero if it passes none.
	OffBy Instant `json:"off_by"`
	// WorstHour is the hour of the walk nearest to its limit or farthest above it. The limit of an hour follows from
	// its work.
	WorstHour WorstHour `json:"worst_hour"`
	Hours     []Hour    `json:"hours"`
}

// WorstHour is one hour of the walk: time-weighted means of heat and work, and the limit
// for that work.
type WorstHour struct {
	From  Instant          `json:"from"`
	To    Instant          `json:"to"`
	WBGT  unit.Temperature `json:"mean_wbgt_c"`
	Work  unit.Power       `json:"work_w"`
	Limit unit.Temperature `json:"limit_wbgt_c"`
}

// Hour is the weather on the open trail at one time of day, at the height of the trailhead.
type Hour struct {
	At        Instant          `json:"at"`
	Air       unit.Temperature `json:"air_c"`
	Humidity  unit.Percent     `json:"humidity_percent"`
	Solar     unit.Irradiance  `json:"solar_w_m2"`
	WBGT      unit.Temperature `json:"wbgt_c"`
	HeatIndex unit.Temperature `json:"heat_index_c"`
}

// Water is what to drink and carry. The reserve belongs to the group and is carried by staff. BeforeStart is for
// before the walk.
type Water struct {
	Drink       unit.Flow   `json:"drink_l_per_h"`
	Carry       unit.Volume `json:"carry_l_per_person"`
	Reserve     unit.Volume `json:"group_reserve_l"`
	BeforeStart unit.Volume `json:"before_start_l"`
	// Bottles says in words which bottles to bring.
	Bottles string `json:"bottles"`
	// WithoutRefills is what to carry if no place on the way is counted on.
	WithoutRefills unit.Volume `json:"carry_without_refills_l"`
	Refills        []Refill    `json:"refills"`
	Sizes          []BodyWater `json:"body_sizes"`
	Load           Load        `json:"load"`
}

// Food is what to eat, in food energy.
type Food struct {
	Low         unit.EnergyRate `json:"kcal_per_h_low"`
	High        unit.EnergyRate `json:"kcal_per_h_high"`
	Carry       unit.Energy     `json:"carry_kcal_per_person"`
	BeforeStart unit.Energy     `json:"before_start_kcal"`
}

// Return holds the times that people are told before departure. Compute leaves them out: they come from the case of
// the hike (package watch), which knows who walks and what the house has set.
type Return struct {
	Expected Instant `json:"expected"`
	Latest   Instant `json:"latest,omitzero"`
	Watch    Instant `json:"watch"`
	Call     Instant `json:"call"`
}

// Turnaround is when to turn back wherever the party is, and which limit sets that time. On a one-way walk there is
// none, and At is null.
type Turnaround struct {
	At      Instant `json:"at"`
	Because string  `json:"because,omitempty"`
	// OffTrail is when everybody is to be off the trail because of daylight or heat; null if neither sets an end.
	OffTrail        Instant `json:"off_trail_by"`
	OffTrailBecause string  `json:"off_trail_because,omitempty"`
	// StartBy is the latest start with which the party is expected at the far point before the turnaround by daylight
	// or heat; null if neither sets one.
	StartBy Instant     `json:"start_by"`
	Points  []TurnPoint `json:"points"`
}

// TurnPoint is the latest time at a named place that still leaves time for the way home; null if nothing sets one.
type TurnPoint struct {
	Name    string      `json:"name"`
	Along   unit.Length `json:"at_m"`
	At      Instant     `json:"at"`
	Because string      `json:"because,omitempty"`
}

// StartWindow is when the walk may start on its day: the run of passing starts around the best one. Without a passing
// start, Earliest and Latest are null, and Best is the least bad.
type StartWindow struct {
	Earliest Instant `json:"earliest"`
	Latest   Instant `json:"latest"`
	Best     Instant `json:"best"`
	// Care is the run of starts around the best at which only the first step of the ladder asks for a change: a
	// shorter route or an earlier start, shade breaks and spare water. On a day with official heat level 3 or more,
	// or a warning, it is the allowed window: starts that exceed no heat limit of their own. It is nil if some start
	// passes, or if none is that mild.
	Care *Care `json:"with_care"`
	// Limits say what closes the window on either side.
	Limits []string `json:"limits"`
	// Starts are all starts from first usable light to the last that ends before dark.
	Starts []Start `json:"starts"`
}

// Care is a run of starts.
type Care struct {
	Earliest Instant `json:"earliest"`
	Latest   Instant `json:"latest"`
}

// Start is one start of the day with the worst that it meets. Over is how far that is above the nearest heat limit,
// or below zero the margin. Limit names the limit that weighs most.
type Start struct {
	At       Instant          `json:"at"`
	Decision Decision         `json:"decision"`
	Limit    string           `json:"limit,omitempty"`
	WBGT     unit.Temperature `json:"peak_wbgt_c"`
	Felt     unit.Temperature `json:"peak_felt_c"`
	Over     unit.Temperature `json:"over_c"`
}

// ShortOption is the same walk with an early turn. Name is "" if no named place is near. Because says why it does not
// pass, or what the ladder requires.
type ShortOption struct {
	Turn     unit.Length `json:"turn_at_m"`
	Name     string      `json:"name"`
	Distance unit.Length `json:"distance_m"`
	P50      Seconds     `json:"p50_s"`
	P90      Seconds     `json:"p90_s"`
	Drink    unit.Flow   `json:"drink_l_per_h"`
	Carry    unit.Volume `json:"carry_l_per_person"`
	Passes   bool        `json:"passes"`
	Because  string      `json:"because,omitempty"`
}

// Decision is the advice of the program. The leader decides.
type Decision string

// The three decisions, from calm to grave.
const (
	Go     Decision = "go"
	Change Decision = "change"
	Cancel Decision = "cancel"
)

// Graver reports whether a decision is nearer to cancelling than another. "" is the calmest, so that a first plan is
// always graver than none.
func (d Decision) Graver(than Decision) bool {
	rank := map[Decision]int{Go: 1, Change: 2, Cancel: 3}
	return rank[d] > rank[than]
}

// Verdict is the decision with its reasons, the weightiest first.
type Verdict struct {
	Decision Decision `json:"decision"`
	Reasons  []string `json:"reasons"`
	// Instead says what would make it a go; empty if it is one.
	Instead []string `json:"instead"`
}

// Seconds is a duration in whole seconds in JSON.
type Seconds int64

// Duration returns the span of time.
func (s Seconds) Duration() time.Duration { return time.Duration(s) * time.Second }

func seconds(d time.Duration) Seconds { return Seconds(d.Round(time.Second) / time.Second) }

// Instant is a time to the second, in the trailhead's zone. The zero Instant is null in JSON: the event does not
// happen or is unknown.
type Instant struct{ time.Time }

// MarshalJSON writes RFC 3339 with the trailhead's offset, or null.
func (t Instant) MarshalJSON() ([]byte, error) {
	if t.IsZero() {
		return []byte("null"), nil
	}
	return json.Marshal(t.Format(time.RFC3339))
}

// UnmarshalJSON reads what MarshalJSON writes.
func (t *Instant) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*t = Instant{}
		return nil
	}
	return json.Unmarshal(b, &t.Time)
}

func instant(t time.Time) Instant {
	if t.IsZero() {
		return Instant{}
	}
	return Instant{t.Round(time.Second)}
}
