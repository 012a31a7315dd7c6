package plan

import (
	"encoding/json"
	"time"

	"saltbush/internal/track"
	"saltbush/internal/unit"
)

// Plan is the answer for one hike. Its JSON form is stable: keys carry their units.
type Plan struct {
	Model      string     `json:"model"`
	Trail      Trail      `json:"trail"`
	Time       Time       `json:"time"`
	Sun        Sun        `json:"sun"`
	Heat       Heat       `json:"heat"`
	Water      Water      `json:"water"`
	Food       Food       `json:"food"`
	Return     Return     `json:"return"`
	Turnaround Turnaround `json:"turnaround"`
	Verdict    Verdict    `json:"verdict"`
	Cautions   []string   `json:"cautions"`
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
	// Notes say what is known about the track's quality, missing heights above all.
	Notes []string `json:"notes"`
}

// Rating is the published difficulty number and its class.
type Rating struct {
	Number int         `json:"number"`
	Class  track.Class `json:"class"`
	Raised string      `json:"raised,omitempty"`
}

// Time is how long the walk takes. Half of all such parties are back by P50, nine in
// ten by P90; both count the breaks.
type Time struct {
	MovingP50 Seconds `json:"moving_p50_s"`
	Breaks    Seconds `json:"breaks_s"`
	P50       Seconds `json:"p50_s"`
	P90       Seconds `json:"p90_s"`
}

// Sun holds the day's light at the trailhead on a level horizon. A zero time marks an
// event that does not happen that day, and is null in JSON.
type Sun struct {
	CivilDawn Instant `json:"civil_dawn"`
	Sunrise   Instant `json:"sunrise"`
	Sunset    Instant `json:"sunset"`
	CivilDusk Instant `json:"civil_dusk"`
}

// Heat is what the day holds. The peaks are those that the party meets between its
// start and its P90 return; the hours cover the whole day in the open.
type Heat struct {
	PeakWBGT unit.Temperature `json:"peak_wbgt_c"`
	PeakAir  unit.Temperature `json:"peak_air_c"`
	PeakAt   Instant          `json:"peak_at"`
	// Limit is the occupational limit for the hardest hour of this walk: recommended
	// exposure limit for the acclimatised, alert limit for everybody else.
	Limit unit.Temperature `json:"limit_wbgt_c"`
	// OffBy is when the open trail passes a limit for the day; zero where none is passed.
	OffBy Instant `json:"off_by"`
	// WorstHour is the hour of the walk that comes nearest to its limit or is farthest
	// above it. The limit of an hour follows from the work of that hour.
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

// Hour is the open trail at one time of day, at the height of the trailhead.
type Hour struct {
	At        Instant          `json:"at"`
	Air       unit.Temperature `json:"air_c"`
	Humidity  unit.Percent     `json:"humidity_percent"`
	Solar     unit.Irradiance  `json:"solar_w_m2"`
	WBGT      unit.Temperature `json:"wbgt_c"`
	HeatIndex unit.Temperature `json:"heat_index_c"`
}

// Water is drinking and carrying. The reserve belongs to the group and is carried by
// staff; BeforeStart is drunk before reaching the trail.
type Water struct {
	Drink       unit.Flow   `json:"drink_l_per_h"`
	Carry       unit.Volume `json:"carry_l_per_person"`
	Reserve     unit.Volume `json:"group_reserve_l"`
	BeforeStart unit.Volume `json:"before_start_l"`
}

// Food is eating on the way, in food energy.
type Food struct {
	Low         unit.EnergyRate `json:"kcal_per_h_low"`
	High        unit.EnergyRate `json:"kcal_per_h_high"`
	Carry       unit.Energy     `json:"carry_kcal_per_person"`
	BeforeStart unit.Energy     `json:"before_start_kcal"`
}

// Return holds the three times that are fixed before departure.
type Return struct {
	Expected Instant `json:"expected"`
	Watch    Instant `json:"watch"`
	Call     Instant `json:"call"`
}

// Turnaround is when to turn whatever has been reached, and which limit says so.
type Turnaround struct {
	At      Instant `json:"at"`
	Because string  `json:"because"`
}

// Decision is the program's advice; the leader decides.
type Decision string

// The three decisions, from calm to grave.
const (
	Go     Decision = "go"
	Change Decision = "change"
	Cancel Decision = "cancel"
)

// Verdict is the decision with its reasons, the weightiest first.
type Verdict struct {
	Decision Decision `json:"decision"`
	Reasons  []string `json:"reasons"`
}

// Seconds is a duration that JSON shows in whole seconds.
type Seconds int64

// Duration returns the span of time.
func (s Seconds) Duration() time.Duration { return time.Duration(s) * time.Second }

func seconds(d time.Duration) Seconds { return Seconds(d.Round(time.Second) / time.Second) }

// Instant is a moment to the second, in the trailhead's zone. The zero Instant is null
// in JSON: it does not happen or is not known.
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
