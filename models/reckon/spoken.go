package reckon

import "strings"

// spoken says the words of questions and answers that are codes.
var spoken = map[string]string{
	"hcyl": "horizontal cylinder", "vplate": "vertical plate",
	"schirmer": "Schirmer, DIN 52615", "power081": "power law, T^0.81",
	"thickness": "wall reading", "external_visual": "look from outside",
}

// Spoken says a word as a person reads it.
func Spoken(word string) string {
	if say, ok := spoken[word]; ok {
		return say
	}
	return strings.ReplaceAll(word, "_", " ")
}

const (
	screening = "A screening figure: a component near its minimum needs a licensed engineer."
	ranks     = "The table ranks covers; it does not predict the loss of one."
	coats     = "Prepare and coat only what is isolated and drained; old paint can hold lead: stop and have it tested."
	textbook  = "For examples of textbooks: not to pass a cover, whose film is not known beforehand."
)

// cautions are said with the answers of some quantities.
var cautions = map[string]string{
	"thickness_trend": screening, "thickness_interval": screening, "class_maximum_interval": screening,
	"pressure_thickness": screening, "wall_after_mill_tolerance": screening, "wall_loss": screening,
	"stainless_cracking_susceptibility": screening,
	"cui_table_rate":                    ranks, "cui_driver": ranks, "pooling_penalty": ranks, "coating_credit": ranks,
	"preparation_grade": coats, "coating_volume": coats, "spreading_rate": coats, "spreading_rate_ip": coats,
	"cylinder_fixed_h": textbook, "flat_fixed_h": textbook, "min_thickness_flat_fixed_h": textbook,
}

// Caution is the one sentence that stands with the answer, "" for none.
func (q Quantity) Caution() string { return cautions[q.Name] }
