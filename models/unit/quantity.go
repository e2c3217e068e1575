// Package unit holds the quantities of the trade as types, reads them as people
// type them ("3/4 in", "20 mm", "42F"), converts them and shows them in either
// system. Inside the program everything is SI; this package is the edge.
package unit

// Celsius is a temperature on the Celsius scale.
type Celsius float64

// Kelvin is a difference of two temperatures, in K. Absolute temperatures are Celsius.
type Kelvin float64

// Pascal is a pressure, a vapor pressure or a difference of either, in Pa.
type Pascal float64

// PascalHour is a vapor pressure difference summed over hours, in Pa h.
type PascalHour float64

// Meter is a length or an altitude, in m.
type Meter float64

// Millimeter is a thickness, a wall or a depth, in mm.
type Millimeter float64

// Micrometer is the thickness of a film of coating, in µm.
type Micrometer float64

// M2 is an area, in m².
type M2 float64

// M3 is a volume, in m³.
type M3 float64

// Liter is a volume of coating, in L.
type Liter float64

// Milliliter is a volume of sealant, in mL.
type Milliliter float64

// Fraction is a share between 0 and 1: relative humidity, moisture by volume, losses.
type Fraction float64

// Hours is a number of hours, or a count of hourly values.
type Hours float64

// KgPerKg is a humidity ratio: kilograms of vapor per kilogram of dry air.
type KgPerKg float64

// KgPerM3 is a density, in kg/m³.
type KgPerM3 float64

// JPerKg is a latent heat, in J/kg.
type JPerKg float64

// Kilogram is a mass, in kg.
type Kilogram float64

// KgPerM2SPa is a vapor permeance, in kg/(m² s Pa).
type KgPerM2SPa float64

// KgPerMSPa is a vapor permeability, in kg/(m s Pa).
type KgPerMSPa float64

// KgPerS is a flow of vapor, in kg/s.
type KgPerS float64

// KgPerMS is a flow of vapor per length of pipe, in kg/(m s).
type KgPerMS float64

// KgPerM2S is a flow of vapor per area, in kg/(m² s).
type KgPerM2S float64

// WPerMK is a thermal conductivity, in W/(m K).
type WPerMK float64

// WPerM2K is a film or overall heat transfer coefficient, in W/(m² K).
type WPerM2K float64

// WPerM2 is a heat flow per area, in W/m².
type WPerM2 float64

// WPerM is a heat flow per length of pipe, in W/m.
type WPerM float64

// Watt is a heat flow, in W.
type Watt float64

// MPerS is a speed of air, in m/s.
type MPerS float64

// MMPerYear is a loss of wall per year, in mm/yr.
type MMPerYear float64

// Quantity is any of the types of this package.
type Quantity interface {
	// measure returns what the quantity measures and its value in SI base units.
	measure() (Kind, float64)
}

// Show prints a quantity in the units of a system, always with its unit:
// Show(IP, Celsius(6.7)) is "44 °F".
func Show(s System, q Quantity) string {
	kind, si := q.measure()
	return kind.Show(s, si)
}

func (q Celsius) measure() (Kind, float64)    { return Temperature, float64(q) }
func (q Kelvin) measure() (Kind, float64)     { return TempDifference, float64(q) }
func (q Pascal) measure() (Kind, float64)     { return Pressure, float64(q) }
func (q PascalHour) measure() (Kind, float64) { return VaporDrive, float64(q) * hour }
func (q Meter) measure() (Kind, float64)      { return Length, float64(q) }
func (q Millimeter) measure() (Kind, float64) { return Thickness, float64(q) / 1000 }
func (q Micrometer) measure() (Kind, float64) { return Film, float64(q) / 1e6 }
func (q M2) measure() (Kind, float64)         { return Area, float64(q) }
func (q M3) measure() (Kind, float64)         { return Volume, float64(q) }
func (q Liter) measure() (Kind, float64)      { return Volume, float64(q) / 1e3 }
func (q Milliliter) measure() (Kind, float64) { return SmallVolume, float64(q) / 1e6 }
func (q Fraction) measure() (Kind, float64)   { return Share, float64(q) }
func (q Hours) measure() (Kind, float64)      { return Time, float64(q) * hour }
func (q KgPerKg) measure() (Kind, float64)    { return HumidityRatio, float64(q) }
func (q KgPerM3) measure() (Kind, float64)    { return Density, float64(q) }
func (q JPerKg) measure() (Kind, float64)     { return LatentHeat, float64(q) }
func (q Kilogram) measure() (Kind, float64)   { return Mass, float64(q) }
func (q KgPerM2SPa) measure() (Kind, float64) { return Permeance, float64(q) }
func (q KgPerMSPa) measure() (Kind, float64)  { return Permeability, float64(q) }
func (q KgPerS) measure() (Kind, float64)     { return VaporFlow, float64(q) }
func (q KgPerMS) measure() (Kind, float64)    { return VaporPerLength, float64(q) }
func (q KgPerM2S) measure() (Kind, float64)   { return VaporPerArea, float64(q) }
func (q WPerMK) measure() (Kind, float64)     { return Conductivity, float64(q) }
func (q WPerM2K) measure() (Kind, float64)    { return HeatTransfer, float64(q) }
func (q WPerM2) measure() (Kind, float64)     { return HeatPerArea, float64(q) }
func (q WPerM) measure() (Kind, float64)      { return HeatPerLength, float64(q) }
func (q Watt) measure() (Kind, float64)       { return Power, float64(q) }
func (q MPerS) measure() (Kind, float64)      { return Speed, float64(q) }
func (q MMPerYear) measure() (Kind, float64)  { return Rate, float64(q) / 1000 / year }
