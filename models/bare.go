package models

import "time"

// BareYear is what a part whose cover is off does to its water and takes from
// its room in each month of a typical year of that room. It is an estimate for
// a quiet room, give or take Tolerance.
type BareYear struct {
	Air          string // in words: which file or logger, its age, what was filled
	AirAssumed   bool
	MetalC       float64 // while cold water runs
	MetalAssumed bool
	AreaM2       float64       // of the bare metal
	Tolerance    float64       // 0.3: ±30 %
	Months       [12]BareMonth // all zero where Gaps says that something is missing
	Assumed      []Assumption
	Gaps         []Gap
}

// BareMonth is one month, January first. While hot water runs, or none, metal
// takes up no heat that chillers must take away and nothing condenses on it.
type BareMonth struct {
	ColdDays float64 // with cold water
	KWh      float64 // of heat into the water
	WaterKg  float64 // that condenses, as frost where the metal is below 0 °C
}

// Frost tells whether what condenses is frost.
func (y BareYear) Frost() bool { return y.MetalC < 0 }

// Year is all months together.
func (y BareYear) Year() BareMonth {
	var sum BareMonth
	for _, m := range y.Months {
		sum = sum.Plus(m, 1)
	}
	return sum
}

// Day is a day of a month with cold water, in the mean of the month.
func (y BareYear) Day(month time.Month) BareMonth {
	m := y.Months[month-1]
	if m.ColdDays == 0 {
		return BareMonth{}
	}
	return BareMonth{}.Plus(m, 1/m.ColdDays)
}

// Plus is m and another so many times.
func (m BareMonth) Plus(other BareMonth, times float64) BareMonth {
	return BareMonth{m.ColdDays + times*other.ColdDays, m.KWh + times*other.KWh, m.WaterKg + times*other.WaterKg}
}

// OffCover is a cover that is off, with what its bare part costs. What cannot be
// worked out is nil, and Gaps says what is missing.
type OffCover struct {
	CoverRow
	Currency string
	Since    Date // "": nobody wrote down when it came off
	Days     *int // since then, nil: not known
	Stopped  bool // no cold water runs through it today
	Year     BareYear
	Sweat    *float64 // kg of water or frost a day now, in the mean of the month
	SoFar    *OffCost // since it came off
	Month    *OffCost // this calendar month, whole
	Annual   *OffCost // a whole year
	Price    string   // what the money rests on, in words; "" nothing
	Gaps     []Gap    // those of Year, and a missing price
}

// OffCost is the heat that bare metal took up, and what it costs.
type OffCost struct {
	KWh     float64
	WaterKg float64
	Money   *float64 // in the building's currency; nil: a price is missing or hidden
}

// OffSum is the covers of one building, or of all, that are off.
type OffSum struct {
	Building Building // zero for all of them
	Covers   int
	Undated  int // of them without a day on which they came off
	Unsized  int // of them without a size: their heat and water are left out
	Unpriced int // of the others without a price: their money is left out
	Currency string
	Mixed    bool // prices in more than one currency: there is no sum of money
	Days     int  // all together, of those with a day
	Sweat    float64
	SoFar    OffCost
	Month    OffCost
	Annual   OffCost
}

// Add adds a cover to the sum.
func (s *OffSum) Add(c OffCover) {
	s.Covers++
	if c.Days == nil {
		s.Undated++
	} else {
		s.Days += *c.Days
	}
	if c.Annual == nil {
		s.Unsized++
		return
	}
	switch {
	case c.Annual.Money == nil:
		s.Unpriced++
	case s.Annual.Money == nil:
		s.Currency = c.Currency
	case s.Currency != c.Currency:
		s.Mixed = true
	}
	if c.Sweat != nil {
		s.Sweat += *c.Sweat
	}
	s.SoFar.add(c.SoFar)
	s.Month.add(c.Month)
	s.Annual.add(c.Annual)
}

func (c *OffCost) add(other *OffCost) {
	if other == nil {
		return
	}
	c.KWh, c.WaterKg = c.KWh+other.KWh, c.WaterKg+other.WaterKg
	if other.Money != nil {
		sum := *other.Money
		if c.Money != nil {
			sum += *c.Money
		}
		c.Money = &sum
	}
}

// OffCovers is every cover that is off in an actor's buildings, what matters
// most first, with the sums of each building and of all.
type OffCovers struct {
	Today     Date
	Covers    []OffCover
	Buildings []OffSum // by name
	All       OffSum
}
