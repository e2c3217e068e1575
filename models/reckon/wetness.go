package reckon

import (
	"math"

	"drylag/models/seal"
	"drylag/models/unit"
)

func hazardLevel(name, label string) Input {
	return plain(name, label).within(-50, 50, ModelRange)
}

func hazardShape() Input {
	return plain("k", "shape k of the time to wet").within(0.05, 50, ModelRange)
}

func age() Input { return years("u", "age since the last closing", 1000).bare() }

func cost(name, label string) Input { return plain(name, label).within(0, 1e12, CostRange) }

func outYears(name, label string) Output { return out(name, label, 0, "yr").bare() }

// wetness are the questions about when to open.
var wetness = []Quantity{
	{
		Name: "wetness_interval", Title: "Interval of least cost", Group: Wetness,
		Answers: "How often should a cover of this wetness be opened?",
		Inputs: []Input{
			hazardLevel("eta", "log hazard at one year"), hazardShape(),
			plain("co", "cost of one opening").above(0, 1e12, CostRange), plain("cw", "cost of a year wet and unseen").above(0, 1e12, CostRange),
			cost("cr", "extra cost where it is found wet").usually(0.0),
			plain("pi", "chance that an opening spoils the seal").within(0, 1, ChanceRange).usually(0.0),
			plain("gam", "then added to the log hazard").within(-50, 50, ModelRange).usually(0.0),
		},
		Outputs: []Output{
			outYears("t", "interval").orNull("opening never pays on cost"),
			out("c", "cost a year", 0, "1"),
			out("p", "chance to find it wet", 0, "1"),
		},
		Method: "least (c_o + c_r F(T) + c_w int F du)/T of a Weibull time to wet; not held within 0.25 to 10 years as a plan does",
		Source: unit.Derived.Source("renewal-reward, closed form for c_r = 0; compared with numerical integration in R"),
		reckon: func(in Values) (Results, error) {
			best := seal.Interval(in.num("eta"), in.num("k"), seal.Costs{
				Opening: in.num("co"), WetYear: in.num("cw"), FoundWet: in.num("cr"), Spoil: in.num("pi"), SpoilBy: in.num("gam"),
			})
			return Results{"t": endless(best.Years), "c": num(best.Rate), "p": num(best.P)}, sayable(best.Rate, best.P)
		},
	},
	{
		Name: "wetness_index", Title: "Worth-opening index", Group: Wetness,
		Answers: "What is opening now worth, if the cover is as before afterwards?",
		Inputs: []Input{
			hazardLevel("eta", "log hazard at one year"), hazardShape(), age(),
			plain("co", "cost of one opening").above(0, 1e12, CostRange).optional(),
			cost("cw", "cost of a year wet and unseen"), cost("cr", "extra cost where it is found wet").usually(0.0),
		},
		Outputs: []Output{
			out("w", "worth of opening, in units of cost; opening pays from the cost of one opening on", 0, "1"),
			out("f", "chance that it is wet", 0, "1"),
			out("per_opening", "worth over the cost of one opening; 1 is due", 0, "1").orNull("no cost of an opening was given"),
		},
		Method: "c_w int s dF + c_r (u f - F) of a Weibull time to wet",
		Source: unit.Derived.Source("derivative of the renewal cost rate; compared with R"),
		reckon: func(in Values) (Results, error) {
			w := seal.Index(in.num("eta"), in.num("k"), in.num("u"), in.num("cw"), in.num("cr"))
			per := none()
			if in.has("co") {
				per = num(w / in.num("co"))
			}
			return Results{"w": num(w), "f": num(seal.Chance(in.num("eta"), in.num("k"), in.num("u"))), "per_opening": per}, sayable(w)
		},
	},
	{
		Name: "wetness_threshold", Title: "Age at which a chance is reached", Group: Wetness,
		Answers: "After how many years is a cover of this wetness wet with this chance?",
		Inputs: []Input{
			hazardLevel("eta", "log hazard at one year"), hazardShape(),
			Input{Name: "p", Label: "chance that it is wet", Shape: Number, Unit: "1", Code: ChanceRange,
				Range: Range{Min: 0, Max: 1, MinOpen: true, MaxOpen: true}},
		},
		Outputs: []Output{outYears("t", "age")},
		Method:  "exp((ln(-ln(1-p)) - eta)/k), not held within 0.25 to 10 years",
		Source:  unit.Derived.Source("Weibull distribution; compared with R"),
		reckon: func(in Values) (Results, error) {
			t := seal.Threshold(in.num("eta"), in.num("k"), in.num("p"))
			return Results{"t": num(t)}, sayable(t)
		},
	},
	{
		Name: "wetness_index_after", Title: "Worth-opening index, re-closed otherwise", Group: Wetness,
		Answers: "What is opening now worth, if the cover is closed better or worse than before?",
		Inputs: []Input{
			hazardLevel("eta", "log hazard at one year, as closed now"), hazardLevel("eta_after", "the same as the next closing leaves it"),
			hazardShape(), age(), cost("cw", "cost of a year wet and unseen"),
		},
		Outputs: []Output{out("w", "worth of opening, in units of cost; opening pays from the cost of one opening on", 0, "1")},
		Method:  "c_w scale' Gamma(1+1/k) P(1+1/k, H(u)) of a Weibull time to wet",
		Source:  unit.Derived.Source("least cost rate of the cycles to come; compared with R"),
		reckon: func(in Values) (Results, error) {
			w := seal.IndexAfter(in.num("eta"), in.num("eta_after"), in.num("k"), in.num("u"), in.num("cw"))
			return Results{"w": num(w)}, sayable(w)
		},
	},
}

// sayable refuses a hazard and a shape so far out that no number holds what
// they mean: a mean life of e^1000 years.
func sayable(values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fault(ModelRange, "eta", "with this shape the times are beyond what a number holds")
		}
	}
	return nil
}
