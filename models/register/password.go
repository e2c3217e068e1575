package register

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"

	"drylag/models"
)

// hashing is the work one password costs: OWASP Password Storage Cheat Sheet,
// Argon2id with 19 MiB, 2 passes, 1 thread.
var hashing = argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// nobody is a hash that no password has. An unknown log-in is checked against
// it, so that it takes as long as a known one.
const nobody = "$argon2id$v=19$m=19456,t=2,p=1$bm9ib2R5IGlzIGhlcmUhIQ$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"

// PasswordLeast and passwordMost are the lengths a password may have, in characters (OWASP ASVS 5.0.0, 6.2.1: at
// least 8, 15 advised; 6.2.9: at least 64 allowed).
const (
	PasswordLeast = 10
	passwordMost  = 200
)

// hashesAtOnce bounds the memory that passwords can take: 4 times 19 MiB.
const hashesAtOnce = 4

// turnstile lets so many hashes run at once; others wait for their turn.
type turnstile chan struct{}

func (t turnstile) pass(ctx context.Context, do func() error) error {
	select {
	case t <- struct{}{}:
		defer func() { <-t }()
		return do()
	case <-ctx.Done():
		return &models.Error{Kind: models.Busy, Msg: "Many people are logging in. Try again in a moment.", Err: ctx.Err()}
	}
}

// hash is the password as it is stored.
func (r *Register) hash(ctx context.Context, password string) (encoded string, err error) {
	err = r.turns.pass(ctx, func() error {
		encoded, err = argon2id.CreateHash(password, &hashing)
		return err
	})
	return encoded, err
}

// matches tells whether a password belongs to a stored hash. An account that
// has none yet matches nothing, in the same time.
func (r *Register) matches(ctx context.Context, password, encoded string) (same bool, err error) {
	if encoded == "" {
		encoded = nobody
	}
	err = r.turns.pass(ctx, func() error {
		same, err = argon2id.ComparePasswordAndHash(password, encoded)
		return err
	})
	return same, err
}

// newToken is 26 letters and digits holding at least 128 random bits.
func newToken() string { return rand.Text() }

// hashToken is a token as it is stored: with 128 random bits in it, a plain
// SHA-256 cannot be turned back.
func hashToken(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

//go:embed passwords.txt
var wellKnown string

// checkPassword notes what is wrong with a new password. Any characters are
// allowed and none are asked for.
func checkPassword(f *models.Faults, password string, u models.User) {
	n := utf8.RuneCountInString(password)
	switch {
	case !utf8.ValidString(password):
		f.Add("password", "holds characters that cannot be read")
	case n < PasswordLeast:
		f.Add("password", "Use at least %d characters; a few words in a row are good.", PasswordLeast)
	case n > passwordMost:
		f.Add("password", "%d characters are the most.", passwordMost)
	case guessable(password, u):
		f.Add("password", "This one is among the first that are guessed. Use a few words that do not belong together.")
	}
}

// guessable tells whether a password is a well-known one, dressed up or not,
// repeats one character, or is the person's own log-in or name.
func guessable(password string, u models.User) bool {
	whole := strings.ToLower(password)
	if strings.Trim(whole, string([]rune(whole)[0])) == "" {
		return true
	}
	bare := undress(whole)
	for _, own := range []string{u.Login, u.Name, strings.ReplaceAll(u.Name, " ", "")} {
		if own = strings.ToLower(own); own != "" && (whole == own || bare == undress(own)) {
			return true
		}
	}
	for known := range strings.FieldsSeq(wellKnown) {
		if known == whole || known == bare || known+known == bare {
			return true
		}
	}
	return false
}

// undress takes the digits and signs from both ends and undoes the usual
// look-alikes, so that P@ssw0rd2026! is password.
func undress(s string) string {
	s = strings.NewReplacer("0", "o", "1", "l", "3", "e", "4", "a", "5", "s", "7", "t", "@", "a", "$", "s").
		Replace(strings.TrimFunc(s, func(c rune) bool { return !unicode.IsLetter(c) }))
	return strings.TrimFunc(s, func(c rune) bool { return !unicode.IsLetter(c) })
}
