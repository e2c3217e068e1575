package seal

import (
	"fmt"
	"hash/fnv"
	"math"
)

// Fit is what a fleet's openings have taught, or the prior alone. It is plain
// numbers: kept as JSON and read back it predicts the same.
type Fit struct {
	Version   string // changes with the method, the prior and the episodes
	Prior     Prior  // zero for a fit without a prior
	Names     []string
	Theta     []float64   // coefficients in the order of Names, then k
	Cov       [][]float64 // their posterior covariance
	Buildings map[string]Effect
	SigmaB    float64 // standard deviation between buildings, log scale
	N, Wet    int     // episodes learned from, and how many ended wet
	LogLik    float64 // log-likelihood at Theta
	Steps     int     // Newton steps taken, all refits counted
}

// Effect is what is special about one building, on the log scale.
type Effect struct {
	B      float64
	SD     float64
	N, Wet int // its episodes

	Own   float64   // variance of B that is left when Theta is known
	Share []float64 // B falls by Share·dTheta when Theta rises by dTheta
}

// K is the Weibull shape: above 1 the hazard rises with the age of the seal.
func (f Fit) K() float64 { return f.Theta[len(f.Names)] }

// SD is the posterior standard deviation of entry j of Theta.
func (f Fit) SD(j int) float64 { return math.Sqrt(f.Cov[j][j]) }

// method is raised when the arithmetic changes what a fit says.
const method = "wet1"

// VersionOf is the version that Learn gives what it learns from these: the same
// prior and episodes, in the same order, have the same version.
func VersionOf(p Prior, episodes []Episode) string { return version(p, episodes, 0) }

// version hashes all that a fit depends on.
func version(p Prior, episodes []Episode, spread float64) string {
	h := fnv.New64a()
	fmt.Fprint(h, p, spread)
	var b []byte
	for i := range episodes {
		b = episodes[i].appendTo(b[:0])
		h.Write(b)
	}
	return fmt.Sprintf("%s-%016x", method, h.Sum64())
}
