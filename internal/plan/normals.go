package plan

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"saltbush/internal/heat"
	"saltbush/internal/unit"
)

// Normal is the usual day of a month at the trailhead: the means of many years.
type Normal struct {
	// Low and High are the mean daily extremes of shade air temperature.
	Low  unit.Temperature `json:"low_c"`
	High unit.Temperature `json:"high_c"`
	// DewPoint, Wind at 10 m and Cloud are daytime means.
	DewPoint unit.Temperature `json:"dew_point_c"`
	Wind     unit.Speed       `json:"wind_m_s"`
	Cloud    unit.Fraction    `json:"cloud"`
	// HotBy is how much hotter than usual the month's hot day is, as a difference. Zero means the organization's
	// allowance for an error of the forecast.
	HotBy unit.Temperature `json:"hot_by_c,omitempty"`
}

// Normals holds the months that are known. A missing month is unknown, and nothing is called safe in it.
type Normals map[time.Month]Normal

func (n Normal) forecast() Forecast {
	return Forecast{Low: n.Low, High: n.High, DewPoint: n.DewPoint, Wind: n.Wind, Cloud: n.Cloud}
}

// hotBy returns how much hotter than usual the hot day is assumed to be.
func (n Normal) hotBy(allowance unit.Temperature) unit.Temperature {
	if n.HotBy > 0 {
		return n.HotBy
	}
	return max(0, allowance)
}

// Our judgment: a hot day farther than this from the usual day is a typo.
const mostHotBy unit.Temperature = 20

// Validate returns every fault of one month joined, each an InputError, or nil.
func (n Normal) Validate() error {
	faults := []error{n.forecast().Validate(), within("hot_by", n.HotBy.Celsius(), 0, float64(mostHotBy), "C")}
	if hot := n.High + n.HotBy; hot > hottestHigh && n.High <= hottestHigh {
		faults = append(faults, bad("hot_by", "makes the hot day %.1f C, above %d C", hot.Celsius(), hottestHigh))
	}
	return errors.Join(faults...)
}

// Validate returns every fault of every month joined, each an InputError, or nil.
func (n Normals) Validate() error {
	var faults []error
	for m := time.January; m <= time.December; m++ {
		if month, known := n[m]; known {
			for _, f := range flat(month.Validate()) {
				faults = append(faults, inMonth(m, f))
			}
		}
	}
	for m := range n {
		if m < time.January || m > time.December {
			faults = append(faults, bad("month", "%d is not between 1 and 12", int(m)))
		}
	}
	return errors.Join(faults...)
}

// missing names the unknown months.
func (n Normals) missing() []string {
	var names []string
	for m := time.January; m <= time.December; m++ {
		if _, known := n[m]; !known {
			names = append(names, m.String())
		}
	}
	return names
}

func inMonth(m time.Month, err error) error {
	var in *InputError
	if errors.As(err, &in) {
		return &InputError{Field: fmt.Sprintf("%s %s", m, in.Field), Reason: in.Reason}
	}
	return err
}

// flat lists the errors that were joined into one.
func flat(err error) []error {
	if err == nil {
		return nil
	}
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var all []error
	for _, e := range joined.Unwrap() {
		all = append(all, flat(e)...)
	}
	return all
}

// NormalsError says where a text of monthly normals is at fault and why. Its message is for the person who typed it.
// Column is "" where the whole line is at fault.
type NormalsError struct {
	Line   int
	Column string
	Reason string
}

func (e *NormalsError) Error() string {
	if e.Column == "" {
		return fmt.Sprintf("line %d: %s", e.Line, e.Reason)
	}
	return fmt.Sprintf("line %d, column %s: %s", e.Line, e.Column, e.Reason)
}

// normalColumns lists the columns of the text. Either dewpoint or humidity is given; hot_by is optional.
func normalColumns() []string {
	return []string{"month", "low", "high", "dewpoint", "humidity", "wind", "cloud", "hot_by"}
}

// Our judgment: a header and twelve months, and room for empty lines. The rest of a longer text is not read.
const mostNormalLines = 60

// ReadNormals reads monthly normals from comma-separated text. The first line names the columns in any order: month,
// low, high, dewpoint or humidity (at the hottest hour), wind, cloud, and hot_by where the month's hot day is known.
// Every other line is a month, its figures with their units: "5,19C,36C,0C,3m/s,15%". A month without figures is
// unknown. The error holds a NormalsError for every fault.
func ReadNormals(r io.Reader) (Normals, error) {
	in := csv.NewReader(r)
	in.TrimLeadingSpace, in.FieldsPerRecord = true, -1
	t := normalsText{months: Normals{}}
	for rows := 0; rows < mostNormalLines; rows++ {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			return t.result()
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			t.fault(broken.Line, fmt.Sprintf("%d", broken.Column), "%v", broken.Err)
			return t.result()
		}
		if err != nil {
			return nil, err
		}
		line, _ := in.FieldPos(0)
		t.take(line, row)
	}
	t.fault(mostNormalLines, "", "the text is longer than a head and twelve months")
	return t.result()
}

// normalsText is the state of reading a text.
type normalsText struct {
	head   []string
	months Normals
	faults []error
}

func (t *normalsText) fault(line int, column, format string, args ...any) {
	t.faults = append(t.faults, &NormalsError{Line: line, Column: column, Reason: fmt.Sprintf(format, args...)})
}

func (t *normalsText) result() (Normals, error) {
	switch {
	case len(t.faults) > 0:
		return nil, errors.Join(t.faults...)
	case t.head == nil:
		return nil, &NormalsError{Line: 1, Reason: "nothing is written here"}
	case len(t.months) == 0:
		return nil, &NormalsError{Line: 2, Reason: "no month has figures"}
	}
	return t.months, nil
}

func (t *normalsText) take(line int, row []string) {
	for i := range row {
		row[i] = strings.TrimSpace(strings.TrimPrefix(row[i], "\ufeff"))
	}
	switch {
	case t.head == nil:
		t.takeHead(line, row)
	case len(row) > len(t.head):
		t.fault(line, "", "has %d figures for %d columns", len(row), len(t.head))
	default:
		t.takeMonth(line, row)
	}
}

func (t *normalsText) takeHead(line int, row []string) {
	t.head = make([]string, len(row))
	for i, name := range row {
		name = strings.ReplaceAll(strings.ToLower(strings.ReplaceAll(name, " ", "_")), "dew_point", "dewpoint")
		switch {
		case !slices.Contains(normalColumns(), name):
			t.fault(line, strconv.Itoa(i+1), "%q is none of %s", row[i], strings.Join(normalColumns(), ", "))
		case slices.Contains(t.head, name):
			t.fault(line, strconv.Itoa(i+1), "%s is named twice", name)
		}
		t.head[i] = name
	}
	for _, need := range []string{"month", "low", "high", "wind", "cloud"} {
		if !slices.Contains(t.head, need) {
			t.fault(line, "", "the column %s is missing", need)
		}
	}
	if !slices.Contains(t.head, "dewpoint") && !slices.Contains(t.head, "humidity") {
		t.fault(line, "", "a column dewpoint or humidity is missing: a plan depends on how dry the air is")
	}
}

func (t *normalsText) takeMonth(line int, row []string) {
	cells := map[string]string{}
	empty := true
	for i, text := range row {
		cells[t.head[i]] = text
		empty = empty && (text == "" || t.head[i] == "month")
	}
	if empty && cells["month"] == "" {
		return
	}
	month, err := parseMonth(cells["month"])
	if err != nil {
		t.fault(line, "month", "%v", err)
		return
	}
	if _, twice := t.months[month]; twice {
		t.fault(line, "month", "%s is there already", month)
		return
	}
	if empty {
		return
	}
	before := len(t.faults)
	n := t.normal(line, cells)
	if len(t.faults) == before {
		t.check(line, n)
	}
	t.months[month] = n
}

// normal reads the figures of one month.
func (t *normalsText) normal(line int, cells map[string]string) (n Normal) {
	n.Low = readCell(t, line, "low", cells, unit.ParseTemperature)
	n.High = readCell(t, line, "high", cells, unit.ParseTemperature)
	n.Wind = readCell(t, line, "wind", cells, unit.ParseSpeed)
	n.Cloud = readCell(t, line, "cloud", cells, unit.ParseFraction)
	switch {
	case cells["dewpoint"] != "":
		n.DewPoint = readCell(t, line, "dewpoint", cells, unit.ParseTemperature)
	case cells["humidity"] != "":
		if h := readCell(t, line, "humidity", cells, unit.ParseFraction); h > 0 {
			n.DewPoint = heat.DewPoint(n.High, h)
		} else {
			t.fault(line, "humidity", "air has some moisture: give more than 0")
		}
	default:
		t.fault(line, "dewpoint", "give the dew point or the humidity")
	}
	if cells["hot_by"] != "" {
		n.HotBy = readCell(t, line, "hot_by", cells, parseDifference)
	}
	return n
}

func readCell[T any](t *normalsText, line int, column string, cells map[string]string,
	parse func(string) (T, error)) T {
	v, err := parse(cells[column])
	if err != nil {
		t.fault(line, column, "%v", err)
	}
	return v
}

// check validates a month and reports its faults by column.
func (t *normalsText) check(line int, n Normal) {
	names := map[string]string{"dew point": "dewpoint"}
	for _, err := range flat(n.Validate()) {
		var in *InputError
		if !errors.As(err, &in) {
			t.fault(line, "", "%v", err)
			continue
		}
		column := in.Field
		if name, ok := names[column]; ok {
			column = name
		}
		t.fault(line, column, "%s", in.Reason)
	}
}

// parseDifference reads "5F" as a difference of temperatures: five Fahrenheit degrees.
func parseDifference(s string) (unit.Temperature, error) {
	t, err := unit.ParseTemperature(s)
	if strings.HasSuffix(strings.ToLower(strings.TrimSpace(s)), "f") {
		t -= unit.Fahrenheit(0)
	}
	return t, err
}

// parseMonth reads 5, "May" or "may".
func parseMonth(s string) (time.Month, error) {
	if n, err := strconv.Atoi(s); err == nil && n >= 1 && n <= 12 {
		return time.Month(n), nil
	}
	for m := time.January; m <= time.December; m++ {
		if name := m.String(); strings.EqualFold(s, name) || strings.EqualFold(s, name[:3]) {
			return m, nil
		}
	}
	return 0, fmt.Errorf("%q is not a month: write 1 to 12, or a name such as May", s)
}

// Text writes the normals in the form that ReadNormals reads, with a line for every month of the year.
func (n Normals) Text() string {
	var b strings.Builder
	b.WriteString("month, low, high, dewpoint, wind, cloud, hot_by\n")
	for m := time.January; m <= time.December; m++ {
		v, known := n[m]
		if !known {
			fmt.Fprintf(&b, "%s,,,,,,\n", m.String()[:3])
			continue
		}
		hot := ""
		if v.HotBy > 0 {
			hot = number(v.HotBy.Celsius(), "C")
		}
		fmt.Fprintf(&b, "%s, %s, %s, %s, %s, %s, %s\n",
			m.String()[:3], number(v.Low.Celsius(), "C"), number(v.High.Celsius(), "C"),
			number(v.DewPoint.Celsius(), "C"), number(v.Wind.MetresPerSecond(), "m/s"),
			number(float64(v.Cloud.Percent()), "%"), hot)
	}
	return b.String()
}

// number writes a figure to a tenth, without a needless zero.
func number(v float64, suffix string) string {
	return strconv.FormatFloat(tenth(v), 'f', -1, 64) + suffix
}
