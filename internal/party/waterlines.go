package party

import (
	"fmt"
	"strings"
)

// WaterLines say who can go on which route with the water at the trailhead, nil without a plan.
func (t Terms) WaterLines(w WaterAt, stock WaterCheck) []string {
	if !t.Planned {
		return nil
	}
	lines := []string{fmt.Sprintf("Full route, %s each: %s.", litreWords(t.Full.Need), goersWords(w.Full))}
	if s := t.Short; s != nil {
		lines = append(lines, fmt.Sprintf("Short option%s, %s each: %s.",
			s.TurnsAt(), litreWords(s.Need), goersWords(w.Short)))
	}
	if len(w.Neither) > 0 {
		lines = append(lines, "On neither: "+list(w.Neither)+
			". They stay behind unless somebody gives them water beyond what they need themselves.")
	}
	if len(w.Tied) > 0 {
		lines = append(lines, "They are short by the same amount, and there is not enough for all of them: "+
			list(w.Tied)+
			". The leader chooses.")
	}
	if len(w.Unknown) > 0 {
		lines = append(lines, "Not looked at: "+list(w.Unknown)+".")
	}
	spare := "not looked at"
	if stock.Known {
		spare = litreWords(stock.Litres)
	}
	return append(lines,
		"Spare in the leader's car: "+spare+". The group reserve that staff carry is never handed out at the start.")
}

// TurnsAt says where the way turns, after its name: " to Notch Junction".
func (w Way) TurnsAt() string {
	if w.Name == "" {
		return ""
	}
	return " to " + w.Name
}

func goersWords(portions []Portion) string {
	var names []string
	for _, p := range portions {
		if p.Takes > 0 {
			names = append(names, p.Name+" with "+litreWords(p.Takes)+" from the car")
		} else {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return "nobody more"
	}
	return strings.Join(names, ", ")
}
