package metal

const mmPerInch = 25.4 // exact

// Pipe is the outside diameter and nominal wall of a steel pipe, as the
// standard prints them in both units: NPS 24 is 610 mm and 24.000 in.
type Pipe struct{ ODMM, WallMM, ODIn, WallIn float64 }

// pipeRow is one size of ASME B36.10M; walls are Schedule 10, 40, STD, 80.
type pipeRow struct {
	nps, odMM float64
	wallMM    [4]float64
	odIn      float64
	wallIn    [4]float64
}

var pipeTable = []pipeRow{
	{0.5, 21.3, [4]float64{2.11, 2.77, 2.77, 3.73}, 0.840, [4]float64{.083, .109, .109, .147}},
	{0.75, 26.7, [4]float64{2.11, 2.87, 2.87, 3.91}, 1.050, [4]float64{.083, .113, .113, .154}},
	{1, 33.4, [4]float64{2.77, 3.38, 3.38, 4.55}, 1.315, [4]float64{.109, .133, .133, .179}},
	{1.25, 42.2, [4]float64{2.77, 3.56, 3.56, 4.85}, 1.660, [4]float64{.109, .140, .140, .191}},
	{1.5, 48.3, [4]float64{2.77, 3.68, 3.68, 5.08}, 1.900, [4]float64{.109, .145, .145, .200}},
	{2, 60.3, [4]float64{2.77, 3.91, 3.91, 5.54}, 2.375, [4]float64{.109, .154, .154, .218}},
	{2.5, 73.0, [4]float64{3.05, 5.16, 5.16, 7.01}, 2.875, [4]float64{.120, .203, .203, .276}},
	{3, 88.9, [4]float64{3.05, 5.49, 5.49, 7.62}, 3.500, [4]float64{.120, .216, .216, .300}},
	{4, 114.3, [4]float64{3.05, 6.02, 6.02, 8.56}, 4.500, [4]float64{.120, .237, .237, .337}},
	{5, 141.3, [4]float64{3.40, 6.55, 6.55, 9.53}, 5.563, [4]float64{.134, .258, .258, .375}},
	{6, 168.3, [4]float64{3.40, 7.11, 7.11, 10.97}, 6.625, [4]float64{.134, .280, .280, .432}},
	{8, 219.1, [4]float64{3.76, 8.18, 8.18, 12.70}, 8.625, [4]float64{.148, .322, .322, .500}},
	{10, 273.0, [4]float64{4.19, 9.27, 9.27, 15.09}, 10.750, [4]float64{.165, .365, .365, .594}},
	{12, 323.8, [4]float64{4.57, 10.31, 9.53, 17.48}, 12.750, [4]float64{.180, .406, .375, .688}},
	{14, 355.6, [4]float64{6.35, 11.13, 9.53, 19.05}, 14, [4]float64{.250, .438, .375, .750}},
	{16, 406.4, [4]float64{6.35, 12.70, 9.53, 21.44}, 16, [4]float64{.250, .500, .375, .844}},
	{18, 457, [4]float64{6.35, 14.27, 9.53, 23.83}, 18, [4]float64{.250, .562, .375, .938}},
	{20, 508, [4]float64{6.35, 15.09, 9.53, 26.19}, 20, [4]float64{.250, .594, .375, 1.031}},
	{24, 610, [4]float64{6.35, 17.48, 9.53, 30.96}, 24, [4]float64{.250, .688, .375, 1.219}},
}

// Schedules lists the schedules of the pipe table in its order.
func Schedules() []string { return []string{"10", "40", "STD", "80"} }

// PipeSizes lists the nominal sizes of the pipe table in inches, smallest first.
func PipeSizes() []float64 {
	sizes := make([]float64, len(pipeTable))
	for i, row := range pipeTable {
		sizes[i] = row.nps
	}
	return sizes
}

// PipeOf finds a pipe by its nominal size in inches (1 1/2 is 1.5) and its
// schedule as in [Schedules]. It reports false for a size or schedule that is
// not in the table. See [PipeSource].
func PipeOf(nps float64, schedule string) (Pipe, bool) {
	for _, row := range pipeTable {
		if row.nps != nps {
			continue
		}
		for i, s := range Schedules() {
			if s == schedule {
				return Pipe{row.odMM, row.wallMM[i], row.odIn, row.wallIn[i]}, true
			}
		}
	}
	return Pipe{}, false
}

// Flange is a class 150 steel flange; lengths in mm, thickness with the raised
// face.
type Flange struct {
	ODMM, ThicknessMM, BoltCircleMM float64
	Bolts                           int
	HoleMM                          float64
}

// flangeTable is ASME B16.5, class 150, in inches, in the order of [Flange].
var flangeTable = []struct {
	nps, od, thickness, circle float64
	bolts                      int
	hole                       float64
}{
	{2, 6.00, .75, 4.75, 4, .75},
	{2.5, 7.00, .88, 5.50, 4, .75},
	{3, 7.50, .94, 6.00, 4, .75},
	{4, 9.00, .94, 7.50, 8, .75},
	{5, 10.00, .94, 8.50, 8, .88},
	{6, 11.00, 1.00, 9.50, 8, .88},
	{8, 13.50, 1.12, 11.75, 8, .88},
	{10, 16.00, 1.19, 14.25, 12, 1.00},
	{12, 19.00, 1.25, 17.00, 12, 1.00},
	{14, 21.00, 1.38, 18.75, 12, 1.12},
	{16, 23.50, 1.44, 21.25, 16, 1.12},
	{18, 25.00, 1.56, 22.75, 16, 1.25},
	{20, 27.50, 1.69, 25.00, 20, 1.25},
	{24, 32.00, 1.88, 29.50, 20, 1.38},
}

// FlangeOf finds the class 150 flange of a nominal size in inches, 2 to 24. It
// reports false for a size that is not in the table. Editions after 1999 give
// the thickness without the raised face. See [FlangeSource].
func FlangeOf(nps float64) (Flange, bool) {
	for _, f := range flangeTable {
		if f.nps == nps {
			return Flange{mmPerInch * f.od, mmPerInch * f.thickness, mmPerInch * f.circle, f.bolts, mmPerInch * f.hole}, true
		}
	}
	return Flange{}, false
}

// gateTable is ASME B16.10: NPS and face-to-face length in mm.
var gateTable = []struct{ nps, mm float64 }{
	{2, 178}, {2.5, 190}, {3, 203}, {4, 229}, {5, 254}, {6, 267}, {8, 292}, {10, 330},
	{12, 356}, {14, 381}, {16, 406}, {18, 432}, {20, 457}, {24, 508},
}

// GateFaceToFace gives the length in mm of a flanged class 150 gate valve of a
// nominal size in inches, 2 to 24. It reports false for a size that is not in
// the table. See [FaceToFaceSource].
func GateFaceToFace(nps float64) (float64, bool) {
	for _, v := range gateTable {
		if v.nps == nps {
			return v.mm, true
		}
	}
	return 0, false
}
