package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"text/tabwriter"

	"saltbush/internal/format"
	"saltbush/internal/hike"
	"saltbush/internal/plan"
	"saltbush/internal/walk"
	"saltbush/web/chart"
)

// Our judgment: the sun of one year is that of any other to a minute, so any year will
// do where no date is given.
const anyYear = 2027

// dayFlags are needed for one day's plan and not for a year's.
func (c planCommand) dayFlags() error {
	var missing []error
	for _, f := range []struct{ flag, value string }{{"--date", c.Date}, {"--start", c.Start}, {"--low", c.Low}, {"--high", c.High}} {
		if f.value == "" {
			missing = append(missing, errors.New("missing "+f.flag))
		}
	}
	return errors.Join(missing...)
}

// runYear prints what the year holds for the track.
func (c planCommand) runYear(e environment) error {
	f, err := os.Open(c.Year)
	if err != nil {
		return err
	}
	defer f.Close()
	normals, err := plan.ReadNormals(f)
	if err != nil {
		return fmt.Errorf("--year %s: %w", c.Year, err)
	}
	in, err := c.yearInput()
	if err != nil {
		return err
	}
	y, err := plan.Year(in, normals)
	if err != nil {
		return err
	}
	switch {
	case c.Explain:
		return writeExplanation(e.out, plan.ExplainYear(in, y))
	case c.Format == "json":
		enc := json.NewEncoder(e.out)
		enc.SetIndent("", "  ")
		return enc.Encode(y)
	}
	return writeYear(e.out, y)
}

func (c planCommand) yearInput() (plan.Input, error) {
	profile, points, err := c.profile()
	if err != nil {
		return plan.Input{}, err
	}
	c.Date, c.Start = cmp.Or(c.Date, strconv.Itoa(anyYear)+"-01-15"), "12:00"
	start, err := c.start()
	if err != nil {
		return plan.Input{}, err
	}
	surface, err := walk.ParseSurface(c.Surface)
	if err != nil {
		return plan.Input{}, err
	}
	rules, err := c.rules()
	if err != nil {
		return plan.Input{}, err
	}
	return plan.Input{Profile: profile, Points: hike.PlanPoints(points), Surface: surface, Start: start, Acclimatized: c.Acclimatised,
		Party: walk.Party{Participants: c.Participants, Staff: c.Staff, Pace: walk.Pace(c.Pace)}, Rules: rules}, nil
}

// writeYear prints a year as a table of months by hours, and the windows of both days.
func writeYear(w io.Writer, y plan.YearPlan) error {
	t := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprint(t, "May it be led from")
	for _, h := range chart.YearHours(y) {
		fmt.Fprintf(t, "\t%02d", h)
	}
	fmt.Fprintln(t)
	for _, m := range y.Months {
		fmt.Fprint(t, m.Month)
		if !m.Known {
			fmt.Fprintln(t, "\tnot known")
			continue
		}
		for _, s := range m.Starts {
			fmt.Fprintf(t, "\t%s", chart.SignOfYear(s))
		}
		fmt.Fprintln(t)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, k := range chart.YearSigns() {
		fmt.Fprintf(w, "  %s  %s\n", k.Sign, k.Words)
	}
	for _, m := range y.Months {
		if m.Known {
			fmt.Fprintf(w, "%s: usual day of %s to %s, starts %s; hot day up to %s, starts %s\n", m.Month,
				format.Temperature(m.Usual.Forecast.Low, format.Metric), format.Temperature(m.Usual.Forecast.High, format.Metric), chart.YearWindow(*m.Usual),
				format.Temperature(m.Hot.Forecast.High, format.Metric), chart.YearWindow(*m.Hot))
		}
	}
	for _, n := range y.Notes {
		fmt.Fprintf(w, "Note: %s\n", n)
	}
	for _, c := range y.Cautions {
		fmt.Fprintf(w, "! %s\n", c)
	}
	return nil
}
