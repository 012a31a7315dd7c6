package ui

import "saltbush/internal/format"

// StampText is a state as it is shown on a page.
type StampText struct {
	Word string // what it says
	Look Look   // outline and color
	Mark Mark   // a small drawing before the word
	Note string // optional words after the stamp, such as "2 of 3 staff accepted"
	Big  bool   // for the head of a page
}

// Look is an outline. Looks differ in shape as well as in color.
type Look string

// Looks, from unsettled to serious.
const (
	LookPencil     Look = "pencil"      // broken line: not settled, not known
	LookLeaf       Look = "leaf"        // round ends
	LookLeafSolid  Look = "leaf-solid"  // round ends, filled
	LookOchre      Look = "ochre"       // two corners cut
	LookOchreSolid Look = "ochre-solid" // two corners cut, filled
	LookClay       Look = "clay"        // double line
	LookClaySolid  Look = "clay-solid"  // filled, with a second line round it
	LookRock       Look = "rock"        // square
	LookRockSolid  Look = "rock-solid"  // square, filled
)

// Mark is a small drawing. States that can be met on one page have different marks.
type Mark string

// Marks.
const (
	MarkRing     Mark = "ring"     // empty circle: open
	MarkPen      Mark = "pen"      // a pen's stroke: being written
	MarkDot      Mark = "dot"      // full circle: held
	MarkHalf     Mark = "half"     // half circle: part of the way
	MarkGlass    Mark = "glass"    // sand glass: waiting
	MarkWalk     Mark = "walk"     // arrow to the right: out
	MarkHome     Mark = "home"     // arrow to the left against a bar: back
	MarkBar      Mark = "bar"      // a bar: closed, stood down
	MarkCross    Mark = "cross"    // a cross: ended
	MarkMinus    Mark = "minus"    // a ring with a bar: taken back
	MarkTick     Mark = "tick"     // a tick: fits
	MarkTalk     Mark = "talk"     // two strokes: a talk first
	MarkHill     Mark = "hill"     // empty triangle: uncertain
	MarkHillFull Mark = "hillfull" // full triangle: alert
	MarkBang     Mark = "bang"     // a heavy stroke over a point: distress
	MarkQuestion Mark = "question" // a question mark: not known
)

// ScoutedStamp says how far a trail's last report can be relied on. No state is green, because what
// was seen may have changed.
func ScoutedStamp(state string) StampText {
	switch state {
	case "scouted":
		return StampText{Word: state, Look: LookRock, Mark: MarkTick}
	case "too long ago":
		return StampText{Word: "scouted " + state, Look: LookOchre, Mark: MarkHill}
	}
	return StampOf(state)
}

// StampOf returns the stamp of a state by its word: the states of a hike, a sign-up, a screening, a
// staff place, and the phases of a party. An unlisted word gets a pencil outline and a question
// mark, so that missing data never looks like good news.
func StampOf(state string) StampText {
	for _, s := range stamps() {
		if s.Word == state {
			return s
		}
	}
	if state == "" {
		state = format.Unknown
	}
	return StampText{Word: state, Look: LookPencil, Mark: MarkQuestion}
}

func stamps() []StampText {
	return []StampText{
		// Hike.
		{Word: "draft", Look: LookPencil, Mark: MarkPen},
		{Word: "posted", Look: LookLeaf, Mark: MarkRing},
		{Word: "called off", Look: LookRock, Mark: MarkCross},
		{Word: "out", Look: LookLeafSolid, Mark: MarkWalk},
		{Word: "back", Look: LookLeaf, Mark: MarkHome},
		{Word: "closed", Look: LookRockSolid, Mark: MarkBar},
		// Sign-up.
		{Word: "asked", Look: LookPencil, Mark: MarkTalk},
		{Word: "offered", Look: LookOchre, Mark: MarkHalf},
		{Word: "confirmed", Look: LookLeaf, Mark: MarkDot},
		{Word: "waiting", Look: LookOchre, Mark: MarkGlass},
		{Word: "withdrawn", Look: LookRock, Mark: MarkMinus},
		{Word: "turned away", Look: LookRockSolid, Mark: MarkCross},
		// Screening.
		{Word: "fits", Look: LookLeaf, Mark: MarkTick},
		{Word: "talk first", Look: LookOchre, Mark: MarkTalk},
		{Word: "suggest another", Look: LookOchre, Mark: MarkWalk},
		{Word: "declined", Look: LookRock, Mark: MarkCross},
		// Staff place.
		{Word: "accepted", Look: LookLeaf, Mark: MarkTick},
		// Phase of a party.
		{Word: "on time", Look: LookLeaf, Mark: MarkWalk},
		{Word: "due", Look: LookOchre, Mark: MarkGlass},
		{Word: "uncertainty", Look: LookOchreSolid, Mark: MarkHill},
		{Word: "alert", Look: LookClay, Mark: MarkHillFull},
		{Word: "distress", Look: LookClaySolid, Mark: MarkBang},
		{Word: "stood down", Look: LookRock, Mark: MarkBar},
		// Places on a hike.
		{Word: "places left", Look: LookLeaf, Mark: MarkRing},
		{Word: "waiting list", Look: LookOchre, Mark: MarkGlass},
		{Word: "full", Look: LookRock, Mark: MarkDot},
		// Roll.
		{Word: "here", Look: LookLeafSolid, Mark: MarkDot},
		{Word: "not here", Look: LookRock, Mark: MarkMinus},
		{Word: "left early", Look: LookOchre, Mark: MarkHome},
	}
}

// WithNote returns the stamp with words after it.
func (s StampText) WithNote(note string) StampText {
	s.Note = note
	return s
}

// AsBig returns the stamp in the size of a page's head.
func (s StampText) AsBig() StampText {
	s.Big = true
	return s
}

// class returns the class attribute.
func (s StampText) class() string {
	c := "Stamp Stamp--" + string(s.Look)
	if s.Big {
		c += " Stamp--big"
	}
	return c
}
