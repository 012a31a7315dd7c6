package view

import (
	"saltbush/internal/format"
	"saltbush/web/ui"
)

// OwnDataPage shows a person what is kept about them.
type OwnDataPage struct {
	ui.Page
	Hike, Person string
	Parts        []OwnPart
	JSONURL      string
	BackURL      string
	Delete       ui.Field // the box that confirms the deletion
	DeleteURL    string   // "" where nothing can be deleted now
	Refused      string   // why nothing can be deleted now
	First        string   // what happens before, such as giving the place back
	Stays        []string
}

// OwnPart is one group of what is kept.
type OwnPart struct {
	ID, Title, Goes string
	Lines           []format.Line
	None            string // shown where there are no lines
}

// OwnDeletedPage says what a deletion has left.
type OwnDeletedPage struct {
	ui.Page
	Stays []string
}

// NewDeleteBox is the box that confirms the deletion.
func NewDeleteBox(a ui.FormState) ui.Field {
	return a.Bind(ui.Field{Name: "sure", Label: "Yes, delete what is kept of me for this hike."})
}
