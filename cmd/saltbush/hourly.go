package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"time"

	"saltbush/internal/plan"
	"saltbush/internal/unit"
)

// hourlyColumns is the header of the file.
var hourlyColumns = []string{"at", "air", "dewpoint", "wind", "cloud"}

// readHourly reads hourly air: "06:00,17C,2C,2m/s,0.1". Times are clock times of the day at the trailhead.
func readHourly(name, date, zoneName string) ([]plan.HourlyAir, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	zone, err := time.LoadLocation(zoneName)
	if err != nil {
		return nil, fmt.Errorf("--tz: %w", err)
	}
	in := csv.NewReader(f)
	in.FieldsPerRecord, in.TrimLeadingSpace = len(hourlyColumns), true
	var hours []plan.HourlyAir
	for line := 1; ; line++ {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			return hours, nil
		}
		if err != nil {
			return nil, fmt.Errorf("--hourly %s: %w", name, err)
		}
		if line == 1 && row[0] == hourlyColumns[0] {
			continue
		}
		h, err := hourlyAir(row, date, zone)
		if err != nil {
			return nil, fmt.Errorf("--hourly %s, line %d: %w", name, line, err)
		}
		hours = append(hours, h)
	}
}

func hourlyAir(row []string, date string, zone *time.Location) (h plan.HourlyAir, err error) {
	var at, air, dew, wind, cloud error
	h.At, at = time.ParseInLocation("2006-01-02 15:04", date+" "+row[0], zone)
	h.Air, air = unit.ParseTemperature(row[1])
	h.DewPoint, dew = unit.ParseTemperature(row[2])
	h.Wind, wind = unit.ParseSpeed(row[3])
	share, cloud := strconv.ParseFloat(row[4], 64)
	h.Cloud = unit.Fraction(share)
	return h, errors.Join(at, air, dew, wind, cloud)
}

// writeExplanation prints every figure with its formula, inputs and source.
func writeExplanation(w io.Writer, figures []plan.Figure) error {
	for _, f := range figures {
		if _, err := fmt.Fprintf(w, "%s = %s\n    formula: %s\n    inputs:  %s\n    source:  %s\n",
			f.Name, f.Value, f.Formula, f.Inputs, f.Source); err != nil {
			return err
		}
	}
	return nil
}
