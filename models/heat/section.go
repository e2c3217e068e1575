package heat

import (
	"math"

	"drylag/models/unit"
)

// section is a cover cut through: what lies between the fluid and the air, per
// meter of a cylinder or per m² of a flat face.
type section struct {
	film       Film // of the outside; its speed and pressure come with the room
	emissivity float64
	fluidC     float64
	area       float64 // of the outside: m² per m, or 1
	inner      float64 // resistance between fluid and outside of the metal
	shells     []shell // from the metal outward
}

// fluidAt walks inward from an outside at surfaceC through which heat q passes
// and returns the temperature that the fluid then has. For a film that gives
// less heat to a warmer surface it rises strictly with surfaceC.
func (s *section) fluidAt(surfaceC, q float64) float64 {
	t := surfaceC
	for i := len(s.shells) - 1; i >= 0; i-- {
		t = s.shells[i].inside(t, q)
		if math.IsInf(t, 0) {
			return t
		}
	}
	return t - q*s.inner
}

// solve returns the temperature of the outside at which the film gives as much
// heat as the section carries, by bisection of [lowC, highC] to 1e-10 K or 100
// halvings. It cannot fail: the implied fluid temperature rises strictly.
func (s *section) solve(lowC, highC float64, flux func(surfaceC float64) float64) float64 {
	for i := 0; i < 100 && highC-lowC > 1e-10; i++ {
		middleC := lowC + (highC-lowC)/2
		if s.fluidAt(middleC, flux(middleC)*s.area) < s.fluidC {
			lowC = middleC
		} else {
			highC = middleC
		}
	}
	return lowC + (highC-lowC)/2
}

// valid reports whether the section can be solved between two temperatures.
func (s *section) valid(lowC, highC float64) bool {
	ok := inTempRange(lowC) && inTempRange(highC) && s.emissivity >= 0 && s.emissivity <= 1 &&
		s.inner >= 0 && s.area > 0 && s.film.Size > 0 &&
		!math.IsInf(s.inner, 0) && !math.IsInf(float64(s.film.Size), 0)
	for _, l := range s.shells {
		ok = ok && l.s > 0 && !math.IsInf(l.s, 0) && l.a+l.b*lowC > 0 && l.a+l.b*highC > 0
	}
	return ok
}

// cylinderShell returns a layer around a cylinder and the diameter over it.
func cylinderShell(l Layer, diameterM float64) (shell, float64) {
	outerM := diameterM + 2*l.thickness()
	return shell{float64(l.K.AtZero), l.K.PerK, 2 * math.Pi / math.Log(outerM/diameterM)}, outerM
}

func flatShell(l Layer) shell {
	return shell{float64(l.K.AtZero), l.K.PerK, 1 / l.thickness()}
}

// thickness is NaN out of range.
func (l Layer) thickness() float64 {
	if !(l.Thickness > 0 && l.Thickness <= MaxThickness) {
		return math.NaN()
	}
	return float64(l.Thickness)
}

// flux returns the heat into an outside at surfaceC in a room whose air and
// walls are at airC and wallsC: q_f = h_c·(T_a − T_s) + h_r·(T_r − T_s).
func (s *section) flux(surfaceC, airC, wallsC float64) float64 {
	return s.film.coefficient(surfaceC, airC)*(airC-surfaceC) + s.emissivity*blackFlux(surfaceC, wallsC)
}

// Inside is what lies between the fluid and the outside of a pipe's metal: the
// film in the pipe and the wall. Left out, metal is as cold as the fluid, which
// is on the safe side for condensation.
type Inside struct {
	Diameter unit.Meter    // inside of the pipe
	H        *unit.WPerM2K // film coefficient inside; nil: no resistance
	WallK    *unit.WPerMK  // conductivity of the metal; nil: no resistance
}

// Resistance returns 1/(h_i·pi·d_i) + ln(D/d_i)/(2·pi·k_w) in m K/W, D the
// outside diameter of the metal. NaN unless all are above 0 and d_i at most D.
// Source: textbooks, read in Cengel, Heat and Mass Transfer, ch. 3.
func (i Inside) Resistance(outside unit.Meter) float64 {
	if !(i.Diameter > 0 && i.Diameter <= outside) {
		return math.NaN()
	}
	sum := 0.0
	if i.H != nil {
		sum += above0(1 / (float64(*i.H) * math.Pi * float64(i.Diameter)))
	}
	if i.WallK != nil {
		sum += above0(1/(2*math.Pi*float64(*i.WallK))) * math.Log(float64(outside/i.Diameter))
	}
	return sum
}

// above0 turns what is not above 0 and finite into NaN.
func above0(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return math.NaN()
	}
	return x
}
