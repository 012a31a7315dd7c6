package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/hike"
	"saltbush/internal/party"
	"saltbush/internal/plan"
	"saltbush/internal/roll"
	"saltbush/internal/rules"
	"saltbush/internal/track"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
	"saltbush/internal/walk"
	"saltbush/internal/watch"
)

// planCommand computes a plan without a database.
type planCommand struct {
	GPX          string  `name:"gpx" required:"" placeholder:"FILE" help:"${plan_gpx}"`
	OutAndBack   bool    `help:"The track leads to the goal and the party comes back the same way."`
	Loop         bool    `help:"The track ends where it starts."`
	Surface      string  `default:"firm" help:"What is underfoot: firm, rocky, loose sand, wash or steps."`
	Date         string  `help:"The day at the trailhead, as 2026-05-10."`
	Start        string  `help:"When the party leaves, as 06:30."`
	TZ           string  `name:"tz" required:"" help:"The trailhead's time zone, as America/Denver."`
	Low          string  `help:"Lowest shade air temperature of the day, as 17C or 63F."`
	High         string  `help:"Highest shade air temperature of the day, as 33C or 91F."`
	Dewpoint     string  `xor:"moisture" help:"Dew point, as 2C or 36F."`
	Humidity     string  `xor:"moisture" help:"Relative humidity at the hottest hour instead, as 0.12 or 12%."`
	Wind         string  `default:"2m/s" help:"Daytime wind at 10 m as forecast, as 2m/s, 7km/h or 5mph."`
	Cloud        float64 `default:"0" help:"Share of the sky covered, 0 to 1."`
	HeatLevel    string  `enum:",0,1,2,3,4" default:"" help:"${plan_heat_level}"`
	Warning      string  `xor:"warning" placeholder:"TEXT" help:"${plan_warning}"`
	NoWarning    bool    `xor:"warning" help:"It was looked up that no warning is in force."`
	Storm        string  `placeholder:"SHARE" help:"${plan_storm}"`
	AirQuality   string  `placeholder:"INDEX" help:"US air quality index, 0 to 500."`
	Participants int     `default:"0" help:"How many take part."`
	Staff        int     `default:"1" help:"${plan_staff}"`
	Pace         string  `default:"ordinary" enum:"gentle,ordinary,brisk" help:"gentle, ordinary or brisk."`
	Acclimatised bool    `help:"Everybody has had a week or more of work in such heat."`
	Hourly       string  `placeholder:"FILE" help:"${plan_hourly}"`
	Year         string  `placeholder:"FILE" help:"${plan_year}"`
	Format       string  `default:"text" enum:"text,json" help:"text or json."`
	House        string  `placeholder:"FILE" help:"${plan_house}"`
	Explain      bool    `help:"Print every figure with its formula, its inputs and its source."`
}

// Run computes the plan and prints it.
func (c planCommand) Run(e environment) error {
	if c.Year != "" {
		return c.runYear(e)
	}
	if err := c.dayFlags(); err != nil {
		return err
	}
	in, err := c.walk()
	if err != nil {
		return err
	}
	if in.Forecast, err = c.forecast(); err != nil {
		return err
	}
	p, err := plan.Compute(in)
	if err != nil {
		return err
	}
	p.Return = returnOf(in, p)
	if c.Explain {
		return writeExplanation(e.out, plan.Explain(in, p))
	}
	if c.Format == "json" {
		return writeJSON(e.out, p)
	}
	return writePlan(e.out, p)
}

// returnOf are the clocks of the plan's party on the day: everybody comes, all of them adults.
func returnOf(in plan.Input, p plan.Plan) *plan.Return {
	h := hike.Hike{Start: in.Start, House: rules.DefaultRules()}
	h.House.Planning = in.Rules
	var roster party.Roster
	for i := range in.Party.People() {
		roster = append(roster, party.Entry{ID: party.PersonID(strconv.Itoa(i))})
	}
	rec := roll.Record{Hike: h, Roster: roster}
	k := watch.CaseOf(roll.Watched{Record: rec, Plan: &p}, nil).Clocks()
	return &plan.Return{
		Expected: plan.Instant{Time: k.Expected}, Latest: plan.Instant{Time: k.Latest},
		Watch: plan.Instant{Time: k.Watch}, Call: plan.Instant{Time: k.Call},
	}
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// walk reads everything but the weather.
func (c planCommand) walk() (plan.Input, error) {
	profile, points, err := c.profile()
	if err != nil {
		return plan.Input{}, err
	}
	start, err := c.start()
	if err != nil {
		return plan.Input{}, err
	}
	surface, err := walk.ParseSurface(c.Surface)
	if err != nil {
		return plan.Input{}, err
	}
	pace, err := walk.ParsePace(c.Pace)
	if err != nil {
		return plan.Input{}, err
	}
	rules, err := c.rules()
	if err != nil {
		return plan.Input{}, err
	}
	return plan.Input{
		Profile:      profile,
		Points:       hike.PlanPoints(points),
		Surface:      surface,
		Start:        start,
		Party:        walk.Party{Participants: c.Participants, Staff: c.Staff, Pace: pace},
		Acclimatized: c.Acclimatised,
		Rules:        rules,
	}, nil
}

// rules reads the rules for the plan.
func (c planCommand) rules() (rules.Planning, error) {
	if c.House == "" {
		return rules.DefaultRules().Planning, nil
	}
	text, err := os.ReadFile(c.House)
	if err != nil {
		return rules.Planning{}, err
	}
	own, err := rules.ReadRules(text)
	if err != nil {
		return rules.Planning{}, fmt.Errorf("--house %s: %w", c.House, err)
	}
	return own.Planning, nil
}

// profile reads the track, and named points from its waypoints.
func (c planCommand) profile() (track.Profile, []trail.Point, error) {
	in := io.Reader(os.Stdin)
	if c.GPX != "-" {
		f, err := os.Open(c.GPX)
		if err != nil {
			return track.Profile{}, nil, err
		}
		defer f.Close()
		in = f
	}
	rec, err := track.Read(in, track.DefaultLimits())
	if err != nil {
		return track.Profile{}, nil, fmt.Errorf("%s: %w", c.GPX, err)
	}
	profile, err := track.NewProfile(rec, c.shape())
	if err != nil {
		return track.Profile{}, nil, fmt.Errorf("%s: %w", c.GPX, err)
	}
	points, _ := trail.PointsFromWaypoints(profile, rec.Waypoints)
	return profile, points, nil
}

func (c planCommand) shape() track.Shape {
	switch {
	case c.OutAndBack:
		return track.OutAndBack
	case c.Loop:
		return track.Loop
	}
	return track.OneWay
}

func (c planCommand) start() (time.Time, error) {
	zone, err := time.LoadLocation(c.TZ)
	if err != nil || c.TZ == "" || c.TZ == "Local" {
		return time.Time{}, fmt.Errorf("--tz %q is not a time zone: write one such as America/Denver", c.TZ)
	}
	t, err := time.ParseInLocation("2006-01-02 15:04", c.Date+" "+c.Start, zone)
	if err != nil {
		return t, fmt.Errorf("--date %q --start %q: write them as 2026-05-10 and 06:30", c.Date, c.Start)
	}
	if t.Format("15:04") != c.Start {
		return t, fmt.Errorf("--start %s does not exist on %s in %s: the clocks change", c.Start, c.Date, c.TZ)
	}
	return t, nil
}

func (c planCommand) forecast() (f plan.Forecast, err error) {
	var lowErr, highErr, windErr, dewErr error
	f.Low, lowErr = unit.ParseTemperature(c.Low)
	f.High, highErr = unit.ParseTemperature(c.High)
	f.Wind, windErr = unit.ParseSpeed(c.Wind)
	f.Cloud = unit.Fraction(c.Cloud)
	f.DewPoint, dewErr = c.dewPoint(f.High)
	if f.Official, err = c.official(); err != nil {
		return f, err
	}
	if c.Hourly != "" {
		if f.Hourly, err = readHourly(c.Hourly, c.Date, c.TZ); err != nil {
			return f, err
		}
	}
	return f, errors.Join(flagged("--low", lowErr), flagged("--high", highErr), flagged("--wind", windErr), dewErr)
}

// official reads what was looked up. What no flag says is unknown.
func (c planCommand) official() (o plan.Official, err error) {
	if level, err := strconv.Atoi(c.HeatLevel); err == nil {
		o.HeatLevel = (*plan.HeatLevel)(&level)
	}
	switch {
	case c.Warning != "":
		o.Warning, o.WarningText = plan.WarningInForce, c.Warning
	case c.NoWarning:
		o.Warning = plan.NoWarning
	}
	if c.Storm != "" {
		chance, err := unit.ParseFraction(c.Storm)
		if err != nil {
			return o, flagged("--storm", err)
		}
		o.Storm = &chance
	}
	if c.AirQuality != "" {
		index, err := strconv.Atoi(c.AirQuality)
		if err != nil {
			return o, fmt.Errorf("--air-quality: %q is not a whole number", c.AirQuality)
		}
		o.AirQuality = (*plan.AirQuality)(&index)
	}
	return o, nil
}

// dewPoint reads either flag for moisture. Humidity is that of the hottest hour.
func (c planCommand) dewPoint(high unit.Temperature) (unit.Temperature, error) {
	switch {
	case c.Dewpoint != "":
		t, err := unit.ParseTemperature(c.Dewpoint)
		return t, flagged("--dewpoint", err)
	case c.Humidity != "":
		h, err := unit.ParseFraction(c.Humidity)
		if err == nil && !(h > 0) {
			err = errors.New("air has some moisture: give more than 0")
		}
		return heat.DewPoint(high, h), flagged("--humidity", err)
	}
	return 0, errors.New("give --dewpoint or --humidity: the plan depends on how dry the air is")
}

func flagged(flag string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", flag, err)
}
