// Package metal says what an opening means for the metal: rust scales, the
// corrosion rate under a cover, wall thickness, remaining life, required
// thickness, and pipe, flange and valve sizes.
//
// It takes and gives plain numbers: temperatures in °C, lengths in mm, rates
// in mm per year, pressures in MPa gauge, dates as decimal years. It never
// sees a cover or a record.
//
// Every table names its [Source] with a [Tag], to be shown next to the number.
// The rate table ranks covers; it does not predict metal loss. Nothing here is
// code compliance: chilled water is not specifically covered by API 570, so
// every interval is the owner's policy, borrowed from published practice.
package metal

// Tag says how a number came here.
type Tag string

// The tags, from the firmest to the weakest.
const (
	Read      Tag = "read"            // R: read in the named text, or in a text quoting it
	Memory    Tag = "from memory"     // M: to be confirmed by the owner's own copy before anyone relies on it
	Practice  Tag = "common practice" // C: usual on site, no source
	Judgement Tag = "judgement"       // J: this project's choice, no source
)

// Letter is the one-letter form for tables: R, M, C, J; "" for an unknown tag.
func (t Tag) Letter() string {
	switch t {
	case Read:
		return "R"
	case Memory:
		return "M"
	case Practice:
		return "C"
	case Judgement:
		return "J"
	}
	return ""
}

// Source names where a number comes from: document, edition, table or equation.
type Source struct {
	Text string
	Tag  Tag
}

// String gives the text with its tag, as it is shown next to the number.
func (s Source) String() string { return s.Text + " (" + string(s.Tag) + ")" }

// Sources of the scales.
var (
	D610Source        = Source{"ASTM D610-08 (2012), Table 1", Read}
	RiSource          = Source{"ISO 4628-3:2016, Table 1", Memory}
	RustByAreaSource  = Source{"equal rusted area, ASTM D610 Table 1 and ISO 4628-3 Table 1; between two grades the worse one", Judgement}
	RiAnnexSource     = Source{"ISO 4628-3:2016, Annex B", Memory}
	ISO8501Source     = Source{"ISO 8501-1, rust grades", Read}
	PreparationSource = Source{"comparison of SSPC surface preparation standards with ISO 8501-1", Read}
	PitSource         = Source{"ASTM G46, rating chart for pits; between two grades the worse one", Memory}
)

// Sources of the rate under a cover.
var (
	RateTableSource   = Source{"API RP 581, 3rd ed. with Addendum 2, Part 2, Table 16.2 with Note 2 (linear interpolation)", Read}
	WetnessCutSource  = Source{"API RP 581, 3rd ed. with Addendum 2, Part 2, 15.6.2", Read}
	FactorSource      = Source{"API RP 581, 3rd ed., Part 2, section 16: insulation type, complexity, insulation condition", Memory}
	FactorStepSource  = Source{"cuts at 0-1, 2-3, 4 or more penetrations; seal as left for insulation condition; closed-cell foams at the middle step; not recorded at the worst", Judgement}
	PoolingSource     = Source{"API 581 (2000), Appendix N, Tables N-5 and N-6", Read}
	CoatingSource     = Source{"API RP 581, 3rd ed. with Addendum 2, Part 2, 17.6.3, and API 581 (2000), Appendix N, Table N-4", Read}
	CoatingEndSource  = Source{"coating credit is spent at Ri 3 and worse", Judgement}
	CrackingSource    = Source{"API RP 581, 3rd ed. with Addendum 2, Part 2, Table 18.2", Read}
	TableSpreadSource = Source{"without a measured rate the table gives an order of size: three times either way", Judgement}
)

// Sources for the air of a room.
var (
	DoseSource      = Source{"ISO 9223:2012, equation (1), coefficients read in public program texts that quote it", Read}
	DoseRangeSource = Source{"ISO 9223:2012, ranges of the dose-response function", Memory}
	CategorySource  = Source{"ISO 9223:2012, carbon steel categories (C1 to C5 read in a handbook quoting them, CX on a secondary page)", Read}
	WetnessSource   = Source{"ISO 9223:1992, time-of-wetness classes (T1 and T2 read in a handbook quoting them, the cuts above from memory)", Memory}
	LongLossSource  = Source{"ISO 9224:2012, long-term loss, exponent B1 of carbon steel", Memory}
)

// Sources for the wall.
var (
	TrendSource         = Source{"API 570, 7.1 (long-term and short-term rate, remaining life, half of it)", Read}
	GaugeSource         = Source{"two readings make a rate when they differ by more than 1.645 x sqrt 2 x gauge error", Judgement}
	FitSource           = Source{"ordinary least squares with Student's t, NIST/SEMATECH handbook; never narrower than the gauge error allows", Judgement}
	MillToleranceSource = Source{"pipe wall may be 12.5 % under nominal, as in a worked ASME B31.3 example", Read}
	PressureSource      = Source{"ASME B31.3, 304.1.2, equation (3a)", Read}
	StressSource        = Source{"ASME B31.3, Table A-1, ASTM A106 B and seamless A53 B", Read}
	StressERWSource     = Source{"ASME B31.9, ASTM A53 B electric-resistance-welded", Memory}
	StructuralSource    = Source{"API 574, structural minimum and alert thickness", Memory}
	StructuralGapSource = Source{"a size between two rows of API 574 takes the larger row", Judgement}
	ThreadSource        = Source{"ASME B1.20.1, height of thread (0.8 of the pitch)", Memory}
	MaxIntervalSource   = Source{"API 570, Table 2, maximum intervals, as quoted in a public record", Read}
)

// Sources of the sizes.
var (
	PipeSource       = Source{"ASME B36.10M; inches as API 574, Table 1", Read}
	FlangeSource     = Source{"ASME B16.5, class 150, 1999 table (thickness with raised face)", Read}
	FaceToFaceSource = Source{"ASME B16.10, flanged gate valve, class 150", Memory}
)

// Sources lists every source above in the order of the page that explains the
// numbers.
func Sources() []Source {
	return []Source{
		D610Source, RiSource, RustByAreaSource, RiAnnexSource, ISO8501Source, PreparationSource, PitSource,
		RateTableSource, WetnessCutSource, FactorSource, FactorStepSource, PoolingSource, CoatingSource,
		CoatingEndSource, CrackingSource, TableSpreadSource,
		DoseSource, DoseRangeSource, CategorySource, WetnessSource, LongLossSource,
		TrendSource, GaugeSource, FitSource, MillToleranceSource, PressureSource, StressSource,
		StressERWSource, StructuralSource, StructuralGapSource, ThreadSource, MaxIntervalSource,
		PipeSource, FlangeSource, FaceToFaceSource,
	}
}
