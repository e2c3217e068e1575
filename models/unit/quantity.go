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

// M2 is an area, in m².
type M2 float64

// M3 is a volume, in m³.
type M3 float64

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
