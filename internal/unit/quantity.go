package unit

import "math"

// Length is a distance or a height in meters.
type Length float64

// Exact by definition: international foot and mile (1959).
const (
	Metre      Length = 1
	Centimetre Length = 0.01
	Kilometre  Length = 1000
	Inch       Length = 0.0254
	Foot       Length = 0.3048
	Mile       Length = 1609.344
)

// Metres returns the length in meters.
func (l Length) Metres() float64 { return float64(l) }

// Kilometres returns the length in kilometers.
func (l Length) Kilometres() float64 { return float64(l / Kilometre) }

// Feet returns the length in international feet.
func (l Length) Feet() float64 { return float64(l / Foot) }

// Miles returns the length in international miles.
func (l Length) Miles() float64 { return float64(l / Mile) }

// Speed is in meters per second.
type Speed float64

// Units of speed.
const (
	MetrePerSecond   Speed = 1
	KilometrePerHour Speed = 1.0 / 3.6
	MilePerHour      Speed = 0.44704
	Knot             Speed = 1852.0 / 3600
)

// MetresPerSecond returns the speed in meters per second.
func (s Speed) MetresPerSecond() float64 { return float64(s) }

// KilometresPerHour returns the speed in kilometers per hour.
func (s Speed) KilometresPerHour() float64 { return float64(s / KilometrePerHour) }

// MilesPerHour returns the speed in miles per hour.
func (s Speed) MilesPerHour() float64 { return float64(s / MilePerHour) }

// Mass is in kilograms.
type Mass float64

// Units of mass. The pound is exact by definition.
const (
	Kilogram Mass = 1
	Gram     Mass = 0.001
	Pound    Mass = 0.45359237
)

// Kilograms returns the mass in kilograms.
func (m Mass) Kilograms() float64 { return float64(m) }

// Pounds returns the mass in avoirdupois pounds.
func (m Mass) Pounds() float64 { return float64(m / Pound) }

// Volume is in liters.
type Volume float64

// Units of volume. The US quart is a quarter of 231 cubic inches, exactly.
const (
	Litre        Volume = 1
	Millilitre   Volume = 0.001
	USQuart      Volume = 0.946352946
	USFluidOunce Volume = USQuart / 32
)

// Litres returns the volume in liters.
func (v Volume) Litres() float64 { return float64(v) }

// USQuarts returns the volume in US liquid quarts.
func (v Volume) USQuarts() float64 { return float64(v / USQuart) }

// Flow is a drinking or sweat rate in liters per hour.
type Flow float64

// Units of flow.
const (
	LitrePerHour   Flow = 1
	USQuartPerHour Flow = Flow(USQuart)
)

// LitresPerHour returns the flow in liters per hour.
func (f Flow) LitresPerHour() float64 { return float64(f) }

// USQuartsPerHour returns the flow in US quarts per hour.
func (f Flow) USQuartsPerHour() float64 { return float64(f / USQuartPerHour) }

// Energy is food energy in kilocalories (thermochemical, 4184 J), the unit on every
// food label.
type Energy float64

// Kilocalorie is the unit of energy.
const Kilocalorie Energy = 1

// Kilocalories returns the energy in kilocalories.
func (e Energy) Kilocalories() float64 { return float64(e) }

// Power is in watts.
type Power float64

// Units of power.
const (
	Watt               Power = 1
	KilocaloriePerHour Power = 4184.0 / 3600
)

// Watts returns the power in watts.
func (p Power) Watts() float64 { return float64(p) }

// PerHour returns the food energy that the power spends in an hour.
func (p Power) PerHour() EnergyRate { return EnergyRate(p / KilocaloriePerHour) }

// EnergyRate is food energy spent or eaten in kilocalories per hour.
type EnergyRate float64

// KilocaloriesPerHour returns the rate in kilocalories per hour.
func (e EnergyRate) KilocaloriesPerHour() float64 { return float64(e) }

// Temperature is in degrees Celsius. Differences use the same type.
type Temperature float64

// Celsius makes a temperature from degrees Celsius.
func Celsius(c float64) Temperature { return Temperature(c) }

// Fahrenheit makes a temperature from degrees Fahrenheit.
func Fahrenheit(f float64) Temperature { return Temperature((f - 32) / 1.8) }

// Celsius returns the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) }

// Fahrenheit returns the temperature in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return float64(t)*1.8 + 32 }

// Kelvin returns the absolute temperature.
func (t Temperature) Kelvin() float64 { return float64(t) + 273.15 }

// Pressure is in pascals.
type Pressure float64

// Units of pressure.
const (
	Pascal      Pressure = 1
	Hectopascal Pressure = 100
)

// Hectopascals returns the pressure in hectopascals (millibars).
func (p Pressure) Hectopascals() float64 { return float64(p / Hectopascal) }

// Irradiance is sunshine on a level surface in watts per square meter.
type Irradiance float64

// WattsPerSquareMetre returns the irradiance in W/m2.
func (i Irradiance) WattsPerSquareMetre() float64 { return float64(i) }

// Angle is in radians.
type Angle float64

// Units of angle.
const (
	Radian Angle = 1
	Degree Angle = math.Pi / 180
)

// Radians returns the angle in radians.
func (a Angle) Radians() float64 { return float64(a) }

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }

// Slope is rise over run: 0.1 climbs ten meters in a hundred, negative falls.
type Slope float64

// Percent returns the slope in percent.
func (s Slope) Percent() Percent { return Percent(s * 100) }

// Angle returns the slope's angle above the level.
func (s Slope) Angle() Angle { return Angle(math.Atan(float64(s))) }

// Fraction is a share from 0 to 1: humidity, cloud, shade, probability.
type Fraction float64

// Percent returns the fraction in percent.
func (f Fraction) Percent() Percent { return Percent(f * 100) }

// Percent is a share in hundredths.
type Percent float64

// Fraction returns the percentage as a share of one.
func (p Percent) Fraction() Fraction { return Fraction(p / 100) }
