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

import "drylag/models/unit"

// Source names where a number comes from, with its tag: see unit.Source.
type Source = unit.Source

// Sources of the scales.
var (
	D610Source        = unit.Read.Source("ASTM D610-08 (2012), Table 1")
	RiSource          = unit.Memory.Source("ISO 4628-3:2016, Table 1")
	RustByAreaSource  = unit.Judgement.Source("equal rusted area, ASTM D610 Table 1 and ISO 4628-3 Table 1; between two grades the worse one")
	RiAnnexSource     = unit.Memory.Source("ISO 4628-3:2016, Annex B")
	ISO8501Source     = unit.Read.Source("ISO 8501-1, rust grades")
	PreparationSource = unit.Read.Source("comparison of SSPC surface preparation standards with ISO 8501-1")
	PitSource         = unit.Memory.Source("ASTM G46, rating chart for pits; between two grades the worse one")
)

// Sources of the rate under a cover.
var (
	RateTableSource   = unit.Read.Source("API RP 581, 3rd ed. with Addendum 2, Part 2, Table 16.2 with Note 2 (linear interpolation)")
	WetnessCutSource  = unit.Read.Source("API RP 581, 3rd ed. with Addendum 2, Part 2, 15.6.2")
	FactorSource      = unit.Memory.Source("API RP 581, 3rd ed., Part 2, section 16: insulation type, complexity, insulation condition")
	FactorStepSource  = unit.Judgement.Source("cuts at 0-1, 2-3, 4 or more penetrations; seal as left for insulation condition; closed-cell foams at the middle step; not recorded at the worst")
	PoolingSource     = unit.Read.Source("API 581 (2000), Appendix N, Tables N-5 and N-6")
	CoatingSource     = unit.Read.Source("API RP 581, 3rd ed. with Addendum 2, Part 2, 17.6.3, and API 581 (2000), Appendix N, Table N-4")
	CoatingEndSource  = unit.Judgement.Source("coating credit is spent at Ri 3 and worse")
	CrackingSource    = unit.Read.Source("API RP 581, 3rd ed. with Addendum 2, Part 2, Table 18.2")
	TableSpreadSource = unit.Judgement.Source("without a measured rate the table gives an order of size: three times either way")
)

// Sources for the air of a room.
var (
	DoseSource      = unit.Read.Source("ISO 9223:2012, equation (1), coefficients read in public program texts that quote it")
	DoseRangeSource = unit.Memory.Source("ISO 9223:2012, ranges of the dose-response function")
	CategorySource  = unit.Read.Source("ISO 9223:2012, carbon steel categories (C1 to C5 read in a handbook quoting them, CX on a secondary page)")
	WetnessSource   = unit.Memory.Source("ISO 9223:1992, time-of-wetness classes (T1 and T2 read in a handbook quoting them, the cuts above from memory)")
	LongLossSource  = unit.Memory.Source("ISO 9224:2012, long-term loss, exponent B1 of carbon steel")
)

// Sources for the wall.
var (
	TrendSource         = unit.Read.Source("API 570, 7.1 (long-term and short-term rate, remaining life, half of it)")
	GaugeSource         = unit.Judgement.Source("two readings make a rate when they differ by more than 1.645 x sqrt 2 x gauge error")
	FitSource           = unit.Judgement.Source("ordinary least squares with Student's t, NIST/SEMATECH handbook; never narrower than the gauge error allows")
	MillToleranceSource = unit.Read.Source("pipe wall may be 12.5 % under nominal, as in a worked ASME B31.3 example")
	PressureSource      = unit.Read.Source("ASME B31.3, 304.1.2, equation (3a)")
	StressSource        = unit.Read.Source("ASME B31.3, Table A-1, ASTM A106 B and seamless A53 B")
	StressERWSource     = unit.Memory.Source("ASME B31.9, ASTM A53 B electric-resistance-welded")
	StructuralSource    = unit.Memory.Source("API 574, structural minimum and alert thickness")
	StructuralGapSource = unit.Judgement.Source("a size between two rows of API 574 takes the larger row")
	ThreadSource        = unit.Memory.Source("ASME B1.20.1, height of thread (0.8 of the pitch)")
	MaxIntervalSource   = unit.Read.Source("API 570, Table 2, maximum intervals, as quoted in a public record")
)

// Sources of the sizes.
var (
	PipeSource       = unit.Read.Source("ASME B36.10M; inches as API 574, Table 1")
	FlangeSource     = unit.Read.Source("ASME B16.5, class 150, 1999 table (thickness with raised face)")
	FaceToFaceSource = unit.Memory.Source("ASME B16.10, flanged gate valve, class 150")
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
