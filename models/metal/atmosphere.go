package metal

import "math"

// Atmosphere is a year's mean of outdoor air, or of a room open to it. The
// functions that use it must never be used for metal under a cover.
type Atmosphere struct {
	TempC       float64 // °C
	RelHumidity float64 // fraction, 0 to 1
	SO2         float64 // deposition, mg/(m² d)
	Chloride    float64 // deposition, mg/(m² d)
}

// FirstYearLoss gives the loss of carbon steel in the first year, in µm:
//
//	1.77 Pd^0.52 exp(0.020 RH + f) + 0.102 Sd^0.62 exp(0.033 RH + 0.040 T)
//
// with RH in percent and f = 0.150 (T - 10) up to 10 °C, else -0.054 (T - 10).
// It is NaN for a humidity outside 0 to 1 or a negative deposition. Outside
// [Atmosphere.InRange] it extrapolates. See [DoseSource].
func FirstYearLoss(a Atmosphere) float64 {
	if !(a.RelHumidity >= 0 && a.RelHumidity <= 1) {
		return math.NaN()
	}
	rh := 100 * a.RelHumidity
	f := -0.054 * (a.TempC - 10)
	if a.TempC <= 10 {
		f = 0.150 * (a.TempC - 10)
	}
	return 1.77*math.Pow(a.SO2, 0.52)*math.Exp(0.020*rh+f) +
		0.102*math.Pow(a.Chloride, 0.62)*math.Exp(0.033*rh+0.040*a.TempC)
}

// InRange tells whether the air lies within the data behind [FirstYearLoss]:
// -17.1 to 28.7 °C, 34 to 93 %, SO2 0.7 to 150.4 and chloride 0.4 to 760.5
// mg/(m² d). See [DoseRangeSource].
func (a Atmosphere) InRange() bool {
	within := func(v, low, high float64) bool { return v >= low && v <= high }
	return within(a.TempC, -17.1, 28.7) && within(a.RelHumidity, 0.34, 0.93) &&
		within(a.SO2, 0.7, 150.4) && within(a.Chloride, 0.4, 760.5)
}

// Category gives the corrosivity category, C1 to C5 and CX, of a first-year
// loss of carbon steel in µm: up to 1.3, 25, 50, 80, 200, and above. It is ""
// for a negative or missing loss. See [CategorySource].
func Category(firstYearUM float64) string {
	return classUpTo(firstYearUM, []float64{1.3, 25, 50, 80, 200}, []string{"C1", "C2", "C3", "C4", "C5", "CX"})
}

// WetnessClass gives the time-of-wetness class, T1 to T5, of the wet hours in a
// year: up to 10, 250, 2500, 5500, and above. It is "" for hours outside 0 to
// 8784. See [WetnessSource].
func WetnessClass(wetHours float64) string {
	if wetHours > 8784 {
		return ""
	}
	return classUpTo(wetHours, []float64{10, 250, 2500, 5500}, []string{"T1", "T2", "T3", "T4", "T5"})
}

// classUpTo names the class of a value; the last class has no upper end.
func classUpTo(value float64, upTo []float64, names []string) string {
	if !(value >= 0) {
		return ""
	}
	for i, limit := range upTo {
		if value <= limit {
			return names[i]
		}
	}
	return names[len(upTo)]
}

// CarbonSteelB is the exponent of [LongTermLoss] for carbon steel (ISO 9224, B1).
const CarbonSteelB = 0.523

// LongTermLoss gives the loss in µm after some years from the first-year loss:
//
//	D = r t^b                                  up to 20 years
//	D = r (20^b + b 20^(b-1) (t - 20))         beyond
//
// It is NaN for negative years. See [LongLossSource].
func LongTermLoss(firstYearUM, years, b float64) float64 {
	if !(years >= 0) {
		return math.NaN()
	}
	const steady = 20
	if years <= steady {
		return firstYearUM * math.Pow(years, b)
	}
	return firstYearUM * (math.Pow(steady, b) + b*math.Pow(steady, b-1)*(years-steady))
}
