package message

import (
	"cmp"
	"errors"
	"strings"

	"saltbush/internal/text"
)

// Plain returns the facts with nothing in them that keeps a message from being written: what somebody
// typed is cleaned, cut to the length of a line, and replaced where nothing is left of it.
func (w Watch) Plain() Watch {
	line := func(s, otherwise string) string { return cmp.Or(cut(text.Line(s), maxSubject/2), otherwise) }
	w.Name, w.Hike, w.Day = line(w.Name, "on call"), line(w.Hike, "a hike"), line(w.Day, "today")
	w.Group, w.Step, w.At = line(w.Group, "Saltbush"), line(w.Step, "alarm"), line(w.At, "now")
	w.By, w.Late, w.Made = line(w.By, ""), line(w.Late, ""), line(w.Made, "")
	w.About, w.Do = cut(text.Line(w.About), maxAbout), text.Line(w.Do)
	w.Why, w.Cars, w.Out = plainLines(w.Why), plainLines(w.Cars), plainLines(w.Out)
	w.Where, w.Times, w.Calls = plainPairs(w.Where), plainPairs(w.Times), plainPairs(w.Calls)
	return w
}

// Our judgment: a party has no more people, and their names fit. Whatever is cut is on the page behind
// the link.
const maxLines, maxAbout = 100, 4000

func plainLines(list []string) []string {
	var plain []string
	for _, s := range list[:min(len(list), maxLines)] {
		plain = append(plain, cut(text.Line(s), maxSubject))
	}
	return plain
}

func plainPairs(list [][2]string) [][2]string {
	var plain [][2]string
	for _, p := range list[:min(len(list), maxLines)] {
		plain = append(plain, [2]string{cut(text.Line(p[0]), maxSubject), cut(text.Line(p[1]), maxSubject)})
	}
	return plain
}

// cut shortens a text to a number of characters.
func cut(s string, most int) string {
	if !text.Longer(s, most) {
		return s
	}
	return strings.TrimSpace(string([]rune(s)[:most-1])) + "…"
}

// LastResort is the mail that goes out where the real one cannot be written. Nothing that anybody typed
// is in it but the recipient's address. It calls for help only where the real one is an alarm.
func LastResort(w Watch) (Mail, error) {
	plain := Watch{
		Ref: w.Ref, To: w.To, Name: "on call", Hike: "a hike", Day: "today", Group: "Saltbush", Step: "alarm",
		At: "now", Link: w.Link, Over: w.Over,
		Do: "Somebody on a hike that you watch may need help now. Call the leader. No answer? Call the emergency " +
			"number and say where first. The full alarm could not be written. Open the watch page, or sign in.",
	}
	if w.Over {
		plain.Step = "news"
		plain.Do = "There is news of a hike that you watch, but the message could not be written. Open the watch " +
			"page, or sign in."
	}
	mail, err := Alarm(plain)
	if err == nil {
		return mail, nil
	}
	plain.Link = ""
	mail, second := Alarm(plain)
	if second != nil {
		return mail, errors.Join(err, second)
	}
	return mail, nil
}
