package heat

import "drylag/models/unit"

// Ranges of the inputs. Outside them the answers are NaN.
const (
	MinDiameter   unit.Meter   = 0.005 // of metal
	MaxDiameter   unit.Meter   = 3
	MaxThickness  unit.Meter   = 0.5 // of one layer, above 0
	MaxSpeed      unit.MPerS   = 20  // of the air
	MinTemp       unit.Celsius = -100
	MaxTemp       unit.Celsius = 600
	CloseMargin   unit.Kelvin  = 1   // a dry surface nearer to the dew point than this is close (common practice)
	BodyTolerance              = 0.2 // of the heat of an irregular body by its equivalent diameter, either way (common practice)
	BareTolerance              = 0.3 // of the heat of a bare component, either way: an estimate without source
)

func inTempRange(tC float64) bool { return tC >= float64(MinTemp) && tC <= float64(MaxTemp) }
