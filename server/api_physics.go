package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// physicsJSON is what air, heat and vapor do at one cover in a typical year. What
// could not be worked out is absent, and missing says why.
type physicsJSON struct {
	Cover        models.ID `json:"cover_id"`
	Answer       string    `json:"answer"`
	Drying       string    `json:"drying"`
	Air          string    `json:"air"`
	AirAssumed   bool      `json:"air_assumed"`
	MetalC       float64   `json:"metal_c"`
	MetalAssumed bool      `json:"metal_assumed"`

	Hours     float64            `json:"hours_of_year"`
	Hot       float64            `json:"hours_hot"`
	Stopped   float64            `json:"hours_stopped"`
	BareBelow float64            `json:"bare_hours_below_dew_point"`
	BareDamp  float64            `json:"bare_hours_over_80_pct"`
	Drive     float64            `json:"drive_pa_h"`
	Net       float64            `json:"net_drive_pa_h"`
	Months    []physicsMonthJSON `json:"months"` // January first

	Part    *physicsPartJSON  `json:"part,omitempty"`
	Fitted  *physicsCoverJSON `json:"cover,omitempty"`
	Dry     []stayDryJSON     `json:"least_thickness"`
	Water   *waterJSON        `json:"water,omitempty"`
	Heat    *heatJSON         `json:"heat,omitempty"`
	Closing nextClosingJSON   `json:"next_closing"`

	Missing []gapJSON     `json:"missing"`
	Why     []formulaJSON `json:"why"`
}

// spanJSON is least, mean and greatest of a month's hours.
type spanJSON struct {
	Min  float64 `json:"min"`
	Mean float64 `json:"mean"`
	Max  float64 `json:"max"`
}

type physicsMonthJSON struct {
	Dew     spanJSON `json:"dew_point_c"`
	Metal   spanJSON `json:"metal_c"`
	Hours   float64  `json:"hours"`
	Below   float64  `json:"hours_below_dew_point"`
	Damp    float64  `json:"hours_over_80_pct"`
	Stopped float64  `json:"hours_stopped"`
	Sweats  bool     `json:"sweats"`
}

type physicsPartJSON struct {
	Diameter float64       `json:"equivalent_diameter_m"`
	Length   float64       `json:"length_m"`
	Area     float64       `json:"bare_area_m2"`
	Assumed  []assumedJSON `json:"assumed"`
}

type physicsCoverJSON struct {
	Thickness    float64       `json:"thickness_mm"`
	Conductivity float64       `json:"conductivity_w_per_m_k"`
	Emissivity   float64       `json:"emissivity"`
	Below        float64       `json:"surface_hours_below_dew_point"`
	Assumed      []assumedJSON `json:"assumed"`
}

// stayDryJSON is the least thickness in one air; least_mm is absent where no
// thickness is enough.
type stayDryJSON struct {
	Own          bool     `json:"own_air"`
	Air          float64  `json:"air_c"`
	Dew          float64  `json:"dew_point_c"`
	Least        *float64 `json:"least_mm,omitempty"`
	Unattainable bool     `json:"unattainable"`
	Surface      *float64 `json:"fitted_surface_c,omitempty"`
	Margin       *float64 `json:"fitted_margin_k,omitempty"`
}

// waterJSON is the water that comes in by diffusion; years are absent where it
// never fills.
type waterJSON struct {
	Intact      float64       `json:"intact_kg_per_year"`
	Low         float64       `json:"open_seam_low_kg_per_year"`
	High        float64       `json:"open_seam_high_kg_per_year"`
	IntactYears *float64      `json:"intact_years_to_5_pct,omitempty"`
	Early       *float64      `json:"open_seam_years_to_5_pct_early,omitempty"`
	Late        *float64      `json:"open_seam_years_to_5_pct_late,omitempty"`
	Perm        float64       `json:"permeance_perm"`
	Seam        float64       `json:"open_seam_m"`
	Gap         float64       `json:"open_seam_gap_mm"`
	Volume      float64       `json:"insulation_m3"`
	Assumed     []assumedJSON `json:"assumed"`
}

type heatJSON struct {
	Bare    heatCostJSON  `json:"bare"`
	Covered *heatCostJSON `json:"covered,omitempty"`
	Price   string        `json:"price,omitempty"`
	Assumed []assumedJSON `json:"assumed"`
}

type heatCostJSON struct {
	Heat        float64  `json:"heat_kwh_per_year"`
	Electricity *float64 `json:"electricity_kwh_per_year,omitempty"`
	Money       *float64 `json:"money_per_year,omitempty"`
	Tolerance   float64  `json:"tolerance"`
}

// nextClosingJSON is what one re-closing takes, the cover made anew and the part
// coated.
type nextClosingJSON struct {
	StretchOut amountJSON `json:"stretch_out_m"`
	Blanket    amountJSON `json:"blanket_m2"`
	Tape       amountJSON `json:"tape_m"`
	Rolls      float64    `json:"tape_rolls"`
	Sealant    amountJSON `json:"sealant_ml"`
	Cartridges float64    `json:"sealant_cartridges"`
	Coating    amountJSON `json:"coating_ml"`
	WetFilm    amountJSON `json:"coating_wet_film_um"`
}

type amountJSON struct {
	Value   float64       `json:"value"`
	Assumed []assumedJSON `json:"assumed"`
}

// assumedJSON is something that nobody entered; value is in words, in SI.
type assumedJSON struct {
	What  string `json:"what"`
	Value string `json:"value,omitempty"`
	Why   string `json:"why"`
	Field string `json:"field,omitempty"`
}

type gapJSON struct {
	Of      string `json:"of"`
	Field   string `json:"field,omitempty"`
	Missing string `json:"what"`
	For     string `json:"unknown_by_it"`
}

type formulaJSON struct {
	Name   string `json:"name"`
	How    string `json:"how"`
	Source string `json:"source"`
}

func (s *Server) apiPhysics(c *gin.Context) error {
	id := param(c, "id")
	p, err := s.register.Physics(c.Request.Context(), actor(c), id)
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, physicsFrom(id, p))
}
