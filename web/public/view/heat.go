package view

import (
	"saltbush/internal/unit"
	"saltbush/web/ui"
)

// HeatBar returns the length of an hour's bar for the felt temperature.
//
// Our judgment: the scale runs from 10 to 45 degrees, so that the rungs of the heat ladder (29
// to 38 degrees) are in its upper half and a cool dawn still shows a bar.
func HeatBar(felt unit.Temperature) string {
	const coldest, hottest = 10, 45
	return ui.PercentOf((felt.Celsius() - coldest) / (hottest - coldest))
}
