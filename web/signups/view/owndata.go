package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// OwnDataPage is what is kept of one person, for that person.
type OwnDataPage struct {
	ui.Page
	Hike, Person string
	Parts        []OwnPart
	JSONURL      string
	BackURL      string
	Delete       ui.Field // the box that answers the question
	DeleteURL    string   // "" where nothing can be deleted now
	Refused      string   // why not
	First        string   // what happens before, such as the place given back
	Stays        []string
}

// OwnPart is one group of what is kept.
type OwnPart struct {
	ID, Title, Goes string
	Lines           []format.Line
	None            string // said where there are no lines
}

// OwnDeletedPage is what is left to say after it.
type OwnDeletedPage struct {
	ui.Page
	Stays []string
}

// NewDeleteBox is the question before the deletion.
func NewDeleteBox(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "sure", Label: "Yes, delete what is kept of me for this hike."})
}
