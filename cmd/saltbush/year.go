package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"text/tabwriter"

	"saltbush/internal/format"
	"saltbush/internal/plan"
	"saltbush/web/chart"
)

// Our judgment: the sun is the same in every year to a minute, so any year will do without a date.
const anyYear = 2027

// dayFlags checks the flags that a plan of one day needs and that of a year does not.
func (c planCommand) dayFlags() error {
	var missing []error
	need := func(flag, value string) {
		if value == "" {
			missing = append(missing, errors.New("missing "+flag))
		}
	}
	need("--date", c.Date)
	need("--start", c.Start)
	need("--low", c.Low)
	need("--high", c.High)
	return errors.Join(missing...)
}

// runYear prints when in the year the trail may be led.
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
	c.Date, c.Start = cmp.Or(c.Date, strconv.Itoa(anyYear)+"-01-15"), "12:00"
	in, err := c.walk()
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
		return writeJSON(e.out, y)
	}
	return writeYear(e.out, y)
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
				format.Temperature(m.Usual.Forecast.Low, format.Metric),
				format.Temperature(m.Usual.Forecast.High, format.Metric), chart.YearWindow(*m.Usual),
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
