package reckon

import "fmt"

// Codes of what is wrong with a question. A field out of its range has the code
// of the range, as NaN, infinity, text and an empty value have.
const (
	RHRange         = "RH_RANGE"         // relative humidity outside 0 to 1; 0 where a dew point is asked for
	TRange          = "T_RANGE"          // temperature outside -100 to 200 °C
	DPAboveDB       = "DP_ABOVE_DB"      // dew point above the air
	WBAboveDB       = "WB_ABOVE_DB"      // wet bulb above the air
	ZRange          = "Z_RANGE"          // altitude outside -500 to 11000 m
	PRange          = "P_RANGE"          // station pressure
	PVRange         = "PV_RANGE"         // vapor pressure
	SizeRange       = "SIZE_RANGE"       // diameters 0.005 to 3 m, lengths of parts
	ThicknessRange  = "THICKNESS_RANGE"  // insulation above 0 to 0.5 m; walls
	KRange          = "K_RANGE"          // conductivity 0.005 to 500 W/(m K), above 0 at both ends
	EmissivityRange = "EMISSIVITY_RANGE" // 0 to 1
	SpeedRange      = "SPEED_RANGE"      // air 0 to 20 m/s
	COPRange        = "COP_RANGE"        // above 0 to 30
	HoursRange      = "HOURS_RANGE"      // 0 to 8784
	TariffRange     = "TARIFF_RANGE"     // 0 and up
	VSRange         = "VS_RANGE"         // volume solids above 0 to 100 %
	LossRange       = "LOSS_RANGE"       // 0 to 0.95
	Unattainable    = "UNATTAINABLE"     // no thickness does it
	ClimateRows     = "CLIMATE_ROWS"     // a climate that is no whole year

	HRange            = "H_RANGE"            // film coefficient
	PropertyRange     = "PROPERTY_RANGE"     // a property of air or vapor, a dimensionless number
	DifferenceRange   = "DIFFERENCE_RANGE"   // temperature difference
	HeatRange         = "HEAT_RANGE"         // heat flow
	PermeabilityRange = "PERMEABILITY_RANGE" // vapor permeability
	PermeanceRange    = "PERMEANCE_RANGE"    // vapor permeance or resistance
	FlowRange         = "FLOW_RANGE"         // vapor flow
	VolumeRange       = "VOLUME_RANGE"       // volume
	FractionRange     = "FRACTION_RANGE"     // a share between 0 and 1
	FilmRange         = "FILM_RANGE"         // film thickness of a coating
	CountRange        = "COUNT_RANGE"        // a whole number
	AreaRange         = "AREA_RANGE"         // area, or rusted share of it
	RateRange         = "RATE_RANGE"         // rate of loss
	PressureRange     = "PRESSURE_RANGE"     // pressure of water, stress
	FactorRange       = "FACTOR_RANGE"       // a factor of a design equation
	DepositRange      = "DEPOSIT_RANGE"      // deposition of SO2 or chloride
	YearsRange        = "YEARS_RANGE"        // years, dates
	CostRange         = "COST_RANGE"         // a cost of opening or of water
	ModelRange        = "MODEL_RANGE"        // a parameter of the wetness model
	ChanceRange       = "CHANCE_RANGE"       // a probability
	ValueRange        = "VALUE_RANGE"        // a value to convert
	SizeUnknown       = "SIZE_UNKNOWN"       // a nominal size that the table lacks
	ClassUnknown      = "CLASS_UNKNOWN"      // a class that the table lacks

	MissingInput    = "MISSING_INPUT"    // an input that has no default was not given
	UnknownInput    = "UNKNOWN_INPUT"    // a name that is no input of the quantity
	UnknownUnit     = "UNKNOWN_UNIT"     // a unit that is not known, or none
	WrongUnit       = "WRONG_UNIT"       // a unit that measures something else
	UnknownWord     = "UNKNOWN_WORD"     // a word that is not one of the choices
	UnknownQuantity = "UNKNOWN_QUANTITY" // a quantity that is not answered
	UnknownOutput   = "UNKNOWN_OUTPUT"   // a unit is wanted of an output that there is not
	ClimateFile     = "CLIMATE_FILE"     // a climate that cannot be found or read
	NoAnswer        = "NO_ANSWER"        // the formula gives no finite number here

	NotJSON    = "NOT_JSON"    // a line that is no JSON
	WrongShape = "WRONG_SHAPE" // JSON of another shape than a question
	LineLong   = "LINE_LONG"   // a line above the limit
)

// Fault says why a question is not answered: a code for programs, the field as
// the question names it, and a sentence for people.
type Fault struct {
	Code    string `json:"code"`
	Field   string `json:"field"`
	Message string `json:"message"`
}

// Error returns "RH_RANGE: rh: must be 0 to 1, not 1.2".
func (f *Fault) Error() string {
	if f.Field == "" {
		return f.Code + ": " + f.Message
	}
	return f.Code + ": " + f.Field + ": " + f.Message
}

func fault(code, field, format string, args ...any) *Fault {
	return &Fault{Code: code, Field: field, Message: fmt.Sprintf(format, args...)}
}
