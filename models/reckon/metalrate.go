package reckon

import (
	"math"

	"drylag/models/metal"
	"drylag/models/unit"
)

var drivers = wordsOf(metal.Drivers())

func wordsOf[S ~string](list []S) []string {
	words := make([]string, len(list))
	for i, w := range list {
		words[i] = string(w)
	}
	return words
}

func driver() Input { return word("driver", "wetness class", drivers...) }

func lossRate(name, label, in string) Input {
	return number(name, label, unit.Rate, in).within(0, 1000, RateRange)
}

func rustedArea() Input {
	return number("rusted_area", "rusted share of the area", unit.Share, "%").within(0, 100, AreaRange)
}

// rates are the questions about rust, coatings and the rate of loss.
var rates = []Quantity{
	{
		Name: "cui_table_rate", Title: "Rate of loss under a cover, by table", Group: Metal,
		Answers: "What rate does the table give for carbon steel under insulation?",
		Inputs:  []Input{temperature("t_service", "service temperature"), driver()},
		Outputs: []Output{out("rate", "rate of loss", unit.Rate, "mm/yr")},
		Method:  "linear in °F between the rows of the table; it ranks covers, it does not predict loss",
		Source:  metal.RateTableSource,
		reckon: func(in Values) (Results, error) {
			return Results{"rate": num(metal.TableRate(in.num("t_service"), metal.Driver(in.word("driver"))))}, nil
		},
	},
	{
		Name: "cui_driver", Title: "Wetness class of the rate table", Group: Metal,
		Answers: "Which column of the rate table does this much wetness mean?",
		Inputs: []Input{
			number("wet_fraction", "share of time wet", unit.Share, "1").within(0, 1, FractionRange),
			yesNo("below_dew_point", "metal goes below the dew point of its room"),
		},
		Outputs: []Output{outWord("driver", "wetness class")},
		Method:  "dry where the metal stays above the dew point; mild under 30 % of time wet, moderate to 60 %, severe above",
		Source:  metal.WetnessCutSource,
		reckon: func(in Values) (Results, error) {
			return Results{"driver": isWord(metal.DriverOf(in.num("wet_fraction"), in.yes("below_dew_point")))}, nil
		},
	},
	{
		Name: "stainless_cracking_susceptibility", Title: "Cracking of stainless steel under a cover", Group: Metal,
		Answers: "How prone is austenitic stainless steel to chloride cracking here?",
		Inputs:  []Input{temperature("t_service", "service temperature"), driver()},
		Outputs: []Output{outWord("susceptibility", "susceptibility")},
		Method:  "table by temperature and wetness class; none below 49 °C (120 °F)",
		Source:  metal.CrackingSource,
		reckon: func(in Values) (Results, error) {
			return Results{"susceptibility": isWord(metal.Cracking(in.num("t_service"), metal.Driver(in.word("driver"))))}, nil
		},
	},
	{
		Name: "coating_credit", Title: "Years that a coating is good for", Group: Metal,
		Answers: "For how many years does this coating keep the metal from loss?",
		Inputs: []Input{word("quality", "coating: none or primer, single coat, several coats",
			string(metal.NoCoating), string(metal.MediumCoating), string(metal.HighCoating))},
		Outputs: []Output{out("credit", "credit from the coating date", 0, "yr")},
		Method:  "0, 5 or 15 years by quality",
		Source:  metal.CoatingSource,
		reckon: func(in Values) (Results, error) {
			return Results{"credit": num(metal.CoatingCredit(metal.CoatingQuality(in.word("quality"))))}, nil
		},
	},
	{
		Name: "pooling_penalty", Title: "Rate where water pools", Group: Metal,
		Answers: "What does the rate become where a support or an interface holds water?",
		Inputs:  []Input{lossRate("rate", "rate of the table", "mm/yr"), yesNo("pools_or_interface", "water pools, or an interface holds it")},
		Outputs: []Output{out("rate", "rate of loss", unit.Rate, "mm/yr")},
		Method:  "times 2 where it pools",
		Source:  metal.PoolingSource,
		reckon: func(in Values) (Results, error) {
			factor := metal.DefaultFactors().At(metal.Surroundings{Pools: in.yes("pools_or_interface")}).Pooling
			return Results{"rate": num(in.num("rate") * factor)}, nil
		},
	},
	{
		Name: "d610_grade", Title: "Rust grade of ASTM D610", Group: Metal,
		Answers: "Which D610 grade is this much rust?",
		Inputs:  []Input{rustedArea()},
		Outputs: []Output{out("grade", "rust grade, 10 clean to 0", 0, "1")},
		Method:  "table of rusted area",
		Source:  metal.D610Source,
		reckon: func(in Values) (Results, error) {
			grade, ok := metal.D610Of(in.num("rusted_area"))
			return Results{"grade": num(orNaN(grade, ok))}, nil
		},
	},
	{
		Name: "iso4628_3_area", Title: "Rusted area of an ISO 4628-3 degree", Group: Metal,
		Answers: "How much of the area is rusted at this degree?",
		Inputs:  []Input{word("grade", "degree of rusting", riWords...)},
		Outputs: []Output{
			out("rusted_area", "rusted share of the area; the lower end of a band", unit.Share, "%"),
			out("rusted_area_high", "its upper end", unit.Share, "%"),
		},
		Method: "table of rusted area; Ri 5 runs from 40 to 50 %",
		Source: metal.RiSource,
		reckon: func(in Values) (Results, error) {
			low, high, ok := metal.Ri(riDegree(in.word("grade"))).Area()
			return Results{"rusted_area": num(orNaN(low, ok)), "rusted_area_high": num(orNaN(high, ok))}, nil
		},
	},
	{
		Name: "preparation_grade", Title: "Surface preparation, SSPC and ISO 8501-1", Group: Metal,
		Answers: "What is this grade of surface preparation called in ISO 8501-1?",
		Inputs:  []Input{word("sspc", "SSPC grade", sspcWords()...)},
		Outputs: []Output{outWord("iso", "ISO 8501-1 grade").orNull("ISO 8501-1 has no equal")},
		Method:  "comparison of the two standards",
		Source:  metal.PreparationSource,
		reckon: func(in Values) (Results, error) {
			p, ok := metal.PreparationNamed(in.word("sspc"))
			if !ok || p.ISO == "" {
				return Results{"iso": none()}, nil
			}
			return Results{"iso": isWord(p.ISO)}, nil
		},
	},
	{
		Name: "iso9223_carbon_steel", Title: "First-year loss of bare steel in air", Group: Metal,
		Answers: "How much does bare carbon steel lose in its first year in this air?",
		Inputs: []Input{
			temperature("t", "mean temperature of the year"), relHumidity("rh"),
			number("so2", "deposition of SO2", 0, "mg/(m2 d)").within(0, 1e4, DepositRange),
			number("chloride", "deposition of chloride", 0, "mg/(m2 d)").within(0, 1e4, DepositRange),
		},
		Outputs: []Output{out("rate", "loss in the first year", unit.Rate, "um/yr")},
		Method:  "dose-response function for outdoor air and rooms open to it; never for metal under a cover",
		Source:  metal.DoseSource,
		reckon: func(in Values) (Results, error) {
			return Results{"rate": num(metal.FirstYearLoss(metal.Atmosphere{
				TempC: in.num("t"), RelHumidity: in.num("rh"), SO2: in.num("so2"), Chloride: in.num("chloride"),
			}))}, nil
		},
	},
	{
		Name: "corrosivity_category", Title: "Corrosivity category of air", Group: Metal,
		Answers: "Which category, C1 to CX, is air with this first-year loss of carbon steel?",
		Inputs:  []Input{number("rate", "loss in the first year", unit.Rate, "um/yr").within(0, 1e5, RateRange)},
		Outputs: []Output{outWord("category", "corrosivity category")},
		Method:  "up to 1.3, 25, 50, 80 and 200 µm in the first year, CX above",
		Source:  metal.CategorySource,
		reckon: func(in Values) (Results, error) {
			return Results{"category": isWord(metal.Category(in.num("rate")))}, nil
		},
	},
	{
		Name: "time_of_wetness_class", Title: "Time-of-wetness class of air", Group: Metal,
		Answers: "Which class, T1 to T5, is this many wet hours a year?",
		Inputs:  []Input{number("wet_hours", "wet hours in a year", 0, "h/yr").within(0, 8784, HoursRange)},
		Outputs: []Output{outWord("class", "time-of-wetness class")},
		Method:  "up to 10, 250, 2500 and 5500 hours a year, T5 above",
		Source:  metal.WetnessSource,
		reckon: func(in Values) (Results, error) {
			return Results{"class": isWord(metal.WetnessClass(in.num("wet_hours")))}, nil
		},
	},
	{
		Name: "iso9224_loss", Title: "Loss of bare steel after some years in air", Group: Metal,
		Answers: "How much has bare steel lost after this many years in air?",
		Inputs: []Input{
			number("rate", "loss in the first year", unit.Rate, "um/yr").within(0, 1e5, RateRange),
			years("years", "years in that air", 200),
			plain("b", "exponent of the metal").above(0, 2, FactorRange).usually(metal.CarbonSteelB),
		},
		Outputs: []Output{out("loss", "loss", unit.Film, "um")},
		Method:  "rate times years to the power b; straight on beyond 20 years",
		Source:  metal.LongLossSource,
		reckon: func(in Values) (Results, error) {
			return Results{"loss": num(metal.LongTermLoss(in.num("rate"), in.num("years"), in.num("b")))}, nil
		},
	},
}

func years(name, label string, most float64) Input {
	return number(name, label, 0, "yr").within(0, most, YearsRange)
}

// riWords are the degrees of ISO 4628-3 as they are written.
var riWords = []string{"Ri 0", "Ri 1", "Ri 2", "Ri 3", "Ri 4", "Ri 5"}

// riDegree is the degree of one of riWords, -1 of another word.
func riDegree(text string) int {
	for i, w := range riWords {
		if w == text {
			return i
		}
	}
	return -1
}

func sspcWords() []string {
	var words []string
	for _, p := range metal.Preparations() {
		words = append(words, p.SSPC)
	}
	return words
}

// orNaN is a number, or NaN where a table has none.
func orNaN[N ~int | ~float64](v N, ok bool) float64 {
	if !ok {
		return math.NaN()
	}
	return float64(v)
}
