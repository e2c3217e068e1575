package register

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// How fast guesses may come (a judgement of this project). A try that succeeds
// costs nothing, so a site behind one address may sign in all at once.
const (
	triesPair    = 5  // wrong passwords for one account from one address at once
	triesAddress = 20 // wrong tries from one address at once
	triesAccount = 20 // wrong passwords for one account from everywhere, before new addresses get one try only

	perPair    = 30 * time.Second // one more each
	perAddress = 6 * time.Second
	perAccount = time.Minute

	limitersKept = 20000 // of each sort; at that many the idle ones are dropped
)

// guard slows guessing. The account's own budget never refuses: it only leaves
// an address that is new to the account a single try, so the right person is
// never locked out by somebody else's guesses.
type guard struct {
	mu       sync.Mutex
	pairs    map[string]*rate.Limiter
	address  map[string]*rate.Limiter
	accounts map[string]*rate.Limiter
}

func newGuard() *guard {
	return &guard{pairs: map[string]*rate.Limiter{}, address: map[string]*rate.Limiter{}, accounts: map[string]*rate.Limiter{}}
}

// try is one attempt that was let through. It counts as wrong until Right.
type try struct {
	at   time.Time
	held []*rate.Reservation
}

// begin lets an attempt through, or tells how long to wait.
func (g *guard) begin(account, address string, now time.Time) (try, time.Duration) {
	g.mu.Lock()
	defer g.mu.Unlock()
	whole := limiter(g.accounts, account, perAccount, triesAccount, now)
	burst := triesPair
	if whole.TokensAt(now) < 1 {
		burst = 1
	}
	t := try{at: now}
	for _, l := range []*rate.Limiter{
		limiter(g.pairs, account+"\x00"+address, perPair, burst, now),
		limiter(g.address, address, perAddress, triesAddress, now),
	} {
		res := l.ReserveN(now, 1)
		if wait := res.DelayFrom(now); wait > 0 {
			res.CancelAt(now)
			t.right()
			return try{}, wait
		}
		t.held = append(t.held, res)
	}
	if whole.TokensAt(now) >= 1 {
		t.held = append(t.held, whole.ReserveN(now, 1))
	}
	return t, 0
}

// right gives back what the attempt cost.
func (t try) right() {
	for _, res := range t.held {
		res.CancelAt(t.at)
	}
}

// limiter is the limiter of a key, made full where it is new.
func limiter(m map[string]*rate.Limiter, key string, every time.Duration, burst int, now time.Time) *rate.Limiter {
	if l, ok := m[key]; ok {
		return l
	}
	if len(m) >= limitersKept {
		drop(m, now)
	}
	l := rate.NewLimiter(rate.Every(every), burst)
	m[key] = l
	return l
}

// drop makes room for a quarter: first the limiters that are full again, as
// good as new, then any.
func drop(m map[string]*rate.Limiter, now time.Time) {
	for key, l := range m {
		if l.TokensAt(now) >= float64(l.Burst()) {
			delete(m, key)
		}
	}
	for key := range m {
		if len(m) <= limitersKept*3/4 {
			return
		}
		delete(m, key)
	}
}
