package plan

import (
	"errors"
	"fmt"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// Official is what the weather service and the land manager say about the day. Nothing of it is computed here. What
// nobody looked up is unknown, and unknown never counts as harmless.
type Official struct {
	// HeatLevel is the official heat level, nil if unknown.
	HeatLevel *HeatLevel `json:"heat_level"`
	// Warning says whether a warning is in force for the trail on the day, "" if unknown. WarningText is the text of
	// the warning.
	Warning     WarningState `json:"warning"`
	WarningText string       `json:"warning_text,omitempty"`
	// Storm is the chance of thunderstorms or flash floods on the way or upstream of it, nil if unknown.
	Storm *unit.Fraction `json:"storm_chance"`
	// AirQuality is the US air quality index, nil if unknown.
	AirQuality *AirQuality `json:"air_quality_index"`
}

// HeatLevel is the official heat level, 0 to 4 (US National Weather Service, HeatRisk).
type HeatLevel int

// String returns the level with the service's name for it.
func (l HeatLevel) String() string {
	names := []string{"little", "minor", "moderate", "major", "extreme"}
	if l < 0 || int(l) >= len(names) {
		return fmt.Sprintf("level %d", int(l))
	}
	return fmt.Sprintf("%d (%s)", int(l), names[l])
}

// WarningState is whether a warning is in force.
type WarningState string

// The states of a warning; "" is unknown.
const (
	NoWarning      WarningState = "none"
	WarningInForce WarningState = "in force"
)

// AirQuality is the US air quality index (US EPA, 40 CFR part 58, appendix G), 0 to 500.
type AirQuality int

const (
	sensitiveLevel, strictLevel, lastLevel HeatLevel = 2, 3, 4

	// Our judgment: a chance of one in five is mentioned, and from even odds on the route changes: off ridges and out
	// of washes.
	stormSpoken, stormChanges unit.Fraction = 0.2, 0.5

	// The classes of the index begin at 101 (unhealthy for sensitive groups), 151 (unhealthy) and 201 (very unhealthy).
	// Our judgment: what follows from them.
	airSensitive, airUnhealthy, airVeryUnhealthy, worstAir AirQuality = 101, 151, 201, 500

	longestWarning = 400
)

// Validate returns every fault joined, each an InputError, or nil.
func (o Official) Validate() error {
	var faults []error
	if l := o.HeatLevel; l != nil && (*l < 0 || *l > lastLevel) {
		faults = append(faults, bad("heat_level", "%d is not between 0 and %d", int(*l), int(lastLevel)))
	}
	switch o.Warning {
	case "", NoWarning, WarningInForce:
	default:
		faults = append(faults, bad("warning", "%q is neither %q nor %q",
			string(o.Warning), string(NoWarning), string(WarningInForce)))
	}
	if o.WarningText != "" && o.Warning != WarningInForce {
		faults = append(faults, bad("warning", "has words and is not said to be in force"))
	}
	if len(o.WarningText) > longestWarning {
		faults = append(faults, bad("warning_text", "is longer than %d characters", longestWarning))
	}
	if s := o.Storm; s != nil {
		faults = append(faults, within("storm", float64(*s), 0, 1, "(chance)"))
	}
	if a := o.AirQuality; a != nil && (*a < 0 || *a > worstAir) {
		faults = append(faults, bad("air_quality", "%d is not between 0 and %d", int(*a), int(worstAir)))
	}
	return errors.Join(faults...)
}

func officialFigures() []figure {
	return []figure{
		{"heat_level", fmt.Sprintf("as typed; from %d on only the allowed window is left", strictLevel),
			"what the leader looked up",
			"levels of the US National Weather Service's HeatRisk; the consequence is the " +
				"house ladder's, house judgement"},
		{"storm_chance", fmt.Sprintf("as typed; spoken of from %.0f %%, a change from %.0f %%",
			float64(stormSpoken.Percent()), float64(stormChanges.Percent())), "what the leader looked up", byJudgement},
		{"air_quality_index", fmt.Sprintf("as typed; spoken of from %d, a change from %d, cancelled from %d",
			airSensitive,
			airUnhealthy, airVeryUnhealthy), "what the leader looked up",
			"classes of the US EPA air quality index; consequences are house judgement"},
	}
}

// Strict reports whether the ladder cancels everything outside an allowed window: on heat level 3 or more, or with a
// warning in force.
func (o Official) Strict() bool {
	return o.Warning == WarningInForce || o.HeatLevel != nil && *o.HeatLevel >= strictLevel
}

// official judges a start by the official heat level and warning. On a strict day, starts that exceed no heat limit are
// the allowed window and need a change; all others are cancelled.
func (r *route) official(m outcome, f exceeded) weight {
	o := r.in.Forecast.Official
	switch {
	case o.Strict() && (r.in.Rules.Ladder.Rung(m.felt+slack) != heat.Normal || max(f[ofHour], f[ofOffBy]) >= changes):
		return cancels
	case o.Strict():
		return changes
	case o.HeatLevel != nil && *o.HeatLevel >= sensitiveLevel:
		return warns
	}
	return passes
}

func (o Official) storm() weight {
	switch {
	case o.Storm == nil || *o.Storm < stormSpoken-hair:
		return passes
	case *o.Storm < stormChanges-hair:
		return warns
	}
	return changes
}

// hair is a billionth. It keeps a percentage that was divided by 100 at or above its limit.
const hair unit.Fraction = 1e-9

func (o Official) air() weight {
	switch {
	case o.AirQuality == nil || *o.AirQuality < airSensitive:
		return passes
	case *o.AirQuality < airUnhealthy:
		return warns
	case *o.AirQuality < airVeryUnhealthy:
		return changes
	}
	return cancels
}

// officialWords says what the official word is, and what follows for a start.
func (o Official) officialWords(w weight) string {
	said := o.Said()
	switch w {
	case cancels:
		return said + ": cancel, or move to the allowed window."
	case changes:
		return said +
			". This start meets no heat limit of its own: it may go only inside the allowed window, as early and " +
			"short as can be, and where the land manager agrees."
	}
	return said + ": people who are sensitive to heat are at risk. Ask each of them."
}

// Said returns the heat level or the warning in words, "" if neither is known.
func (o Official) Said() string {
	switch {
	case o.HeatLevel == nil && o.Warning != WarningInForce:
		return ""
	case o.Warning == WarningInForce && o.WarningText != "":
		return fmt.Sprintf("A warning is in force (%s)", o.WarningText)
	case o.Warning == WarningInForce:
		return "A warning is in force"
	}
	return "The official heat level is " + o.HeatLevel.String()
}

// Unasked lists in words what nobody has looked up. The verdict says nothing about these.
func (o Official) Unasked() []string {
	var list []string
	for _, x := range []struct {
		known bool
		words string
	}{
		{o.HeatLevel != nil, "the official heat level"}, {o.Warning != "", "warnings in force"},
		{o.Storm != nil, "storms and floods upstream"}, {o.AirQuality != nil, "the air"},
	} {
		if !x.known {
			list = append(list, x.words)
		}
	}
	return list
}

func (o Official) stormWords(w weight) string {
	chance := fmt.Sprintf("The chance of storms or flash floods is %.0f %%", float64(o.Storm.Percent()))
	if w == changes {
		return chance + ": choose a way off ridges and out of washes, or be back before the storms."
	}
	return chance + ": watch the sky upstream too, and know the ways out of every wash."
}

func (o Official) airWords(w weight) string {
	index := fmt.Sprintf("The air quality index is %d", int(*o.AirQuality))
	switch w {
	case cancels:
		return index + ", very unhealthy: nobody should work in this air."
	case changes:
		return index + ", unhealthy for everybody: shorten, or choose another day."
	}
	return index + ", unhealthy for sensitive people: ask who has asthma or a weak heart."
}
