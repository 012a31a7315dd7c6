package supply_test

import (
	"fmt"
	"testing"

	"saltbush/internal/supply"
	"saltbush/internal/unit"
)

func TestSweatEquations(t *testing.T) {
	// Gonzalez et al. 2009 equations [F abstract]; values [C], 0.1 g/m2/h and half a millilitre.
	tests := []struct {
		required, most  supply.Flux
		ose, osec, pw   float64
		litres          float64
		pwIsOutOfDomain bool
	}{
		{200, 300, 416.4, 242.3, 191.4, 0.345, false},
		{250, 350, 485.3, 263.2, 224.3, 0.404, false},
		{300, 400, 548.0, 283.7, 257.1, 0.463, false},
		{350, 300, 728.8, 352.5, 420.4, 0.757, false},
		{400, 500, 660.1, 324.6, 322.8, 0.581, false},
		{150, 400, 274.0, 204.2, 28.0, 0.050, true},
	}
	for _, tt := range tests {
		b := supply.HeatBalance{Required: tt.required, Maximum: tt.most}
		what := fmt.Sprintf(" at %g, %g [C]", float64(tt.required), float64(tt.most))
		ose, err := b.OSE()
		if err != nil {
			t.Fatal(err)
		}
		osec, err := b.OSEC()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "OSE"+what, float64(ose), tt.ose, 0.1)
		near(t, "OSEC"+what, float64(osec), tt.osec, 0.1)
		pw, err := b.PW()
		if tt.pwIsOutOfDomain {
			names(t, err, fmt.Sprintf("%.1f", tt.pw)) // the refusal names the value
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		near(t, "PW"+what, float64(pw), tt.pw, 0.1)
		near(t, "PW x 1.8 m2"+what, pw.Of(supply.StandardArea).LitresPerHour(), tt.litres, 0.0006)
	}
}

func TestEvaporationFloor(t *testing.T) {
	// 2.43 MJ/kg: 1 W for an hour takes 1.48 g; 300 W/m2 over 1.8 m2 takes 0.80 L/h.
	near(t, "g/h for 1 W", 1000*supply.SweatFloor(1).LitresPerHour(), 1.48, 0.005)
	near(t, "L/h for 300 W/m2", supply.SweatFloor(300*1.8).LitresPerHour(), 0.80, 0.005)
}

func desert() supply.Surroundings {
	return supply.Surroundings{Air: 38, Vapour: 900, Wind: 1.5, Work: 250}
}

func TestSweatStandsOnTheFloorInDryHeat(t *testing.T) {
	// OSEC 283.7 [C] is below the 444 g/m2/h that 300 W/m2 evaporates.
	got, err := supply.Sweat(supply.HeatBalance{Required: 300, Maximum: 400}, desert())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sweat, g/m2/h", float64(got), 300*3600/2430.0, 1e-9)
}

func TestSweatFollowsTheEquationWhereItIsMore(t *testing.T) {
	// At 100 and 100 W/m2 OSE is 343.2, OSEC 221.9 by hand; evaporation takes 148.
	got, err := supply.Sweat(supply.HeatBalance{Required: 100, Maximum: 100}, desert())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sweat, g/m2/h", float64(got), 221.9, 0.1)
}

func TestSweatOutsideItsDomainIsRefusedByName(t *testing.T) {
	balance := supply.HeatBalance{Required: 300, Maximum: 400}
	tests := []struct {
		name   string
		change func(*supply.Surroundings)
	}{
		{"air temperature", func(s *supply.Surroundings) { s.Air = 47 }},
		{"air temperature", func(s *supply.Surroundings) { s.Air = unit.Temperature(nan) }},
		{"vapour pressure", func(s *supply.Surroundings) { s.Vapour = 200 }},
		{"wind", func(s *supply.Surroundings) { s.Wind = 4 }},
		{"work", func(s *supply.Surroundings) { s.Work = 500 }},
	}
	for _, tt := range tests {
		s := desert()
		tt.change(&s)
		_, err := supply.Sweat(balance, s)
		names(t, err, tt.name)
	}
	_, err := supply.Sweat(supply.HeatBalance{Required: -1, Maximum: 400}, desert())
	names(t, err, "required evaporation")
	_, err = supply.HeatBalance{Required: 100, Maximum: 0}.OSE()
	names(t, err, "most evaporation")
	_, err = supply.HeatBalance{Required: supply.Flux(nan), Maximum: 100}.OSEC()
	names(t, err, "required evaporation")
	_, err = supply.HeatBalance{Required: 200, Maximum: 800}.PW()
	names(t, err, "piecewise sweat")
}

func TestClothed(t *testing.T) {
	// Ereq and Emax terms [M]; by hand: 250 + 6.45 (38 - 36)/0.8 = 266.1; 14.21 0.5/0.8 (44 -
	// 900/133.322) = 330.8 W/m2.
	got, err := supply.Clothed(desert(), 0.8, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "required, W/m2 [M]", float64(got.Required), 266.125, 0.001)
	near(t, "most, W/m2 [M]", float64(got.Maximum), 330.8, 0.05)
	for _, bad := range []supply.Clo{0, -1, 5, supply.Clo(nan)} {
		_, err := supply.Clothed(desert(), bad, 0.5)
		names(t, err, "insulation")
	}
	for _, bad := range []supply.Permeability{0, 1.1, supply.Permeability(nan)} {
		_, err := supply.Clothed(desert(), 0.8, bad)
		names(t, err, "permeability")
	}
	hot := desert()
	hot.Air = 60
	_, err = supply.Clothed(hot, 0.8, 0.5)
	names(t, err, "air temperature")
}
