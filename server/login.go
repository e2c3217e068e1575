package server

import (
	"strings"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

type loginPage struct {
	shell
	Out     bool     // just logged out
	Choices []Choice // of a demo, on this machine only
}

// keyPage is a page opened by a one-time link.
type keyPage struct {
	shell
	Login string // of the account whose password is set
}

func (s *Server) newLoginPage(c *gin.Context) *loginPage {
	p := &loginPage{shell: titled("Log in", "").retyped(), Out: c.Query("out") == "1"}
	if s.config.Demo && loopback(c) {
		p.Choices = s.config.Choices
	}
	return p
}

func (s *Server) showLogin(c *gin.Context) error {
	p := s.newLoginPage(c)
	p.Form = blank()
	p.Form.set("next", localPath(c.Query("next")))
	return s.show(c, "login", p)
}

func (s *Server) login(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	u, err := s.register.SignIn(c.Request.Context(), f.text("login"), f.raw("password"), c.ClientIP())
	if err != nil {
		p := s.newLoginPage(c)
		p.Form = f
		return s.again(c, "login", p, err)
	}
	return s.welcome(c, u, f.text("next"))
}

// loginChoice logs in as one of the demo's people, with the password that the
// demo gave him; there is no other way in than SignIn.
func (s *Server) loginChoice(c *gin.Context) error {
	if !s.config.Demo || !loopback(c) {
		return models.Errorf(models.Missing, "There is no page at this address.")
	}
	f, err := typed(c)
	if err != nil {
		return err
	}
	for _, choice := range s.config.Choices {
		if choice.Login == f.text("choice") {
			u, err := s.register.SignIn(c.Request.Context(), choice.Login, choice.Password, c.ClientIP())
			if err != nil {
				return err
			}
			return s.welcome(c, u, f.text("next"))
		}
	}
	return models.Errorf(models.Missing, "There is no such account in this demo.")
}

// welcome begins the session and leads to where the person wanted to go.
func (s *Server) welcome(c *gin.Context, u models.User, next string) error {
	if err := s.start(c, u); err != nil {
		return err
	}
	s.log.Info("logged in", "request", requestID(c), "user", u.ID, "addr", c.ClientIP())
	return seeOther(c, localPath(next))
}

func (s *Server) logout(c *gin.Context) error {
	s.log.Info("logged out", "request", requestID(c), "user", actor(c).ID)
	s.end(c)
	if s.config.Secure {
		c.Header("Clear-Site-Data", `"cache"`)
	}
	return seeOther(c, "/login?out=1")
}

func (s *Server) showSetup(c *gin.Context) error {
	if err := s.register.CheckSetup(c.Request.Context(), c.Query("key")); err != nil {
		return err
	}
	p := &keyPage{shell: titled("Set up drylag", "").retyped()}
	p.Form = blank()
	p.Form.set("key", c.Query("key"))
	return s.show(c, "setup", p)
}

func (s *Server) setup(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p := &keyPage{shell: titled("Set up drylag", "").retyped()}
	p.Form = f
	if err := f.check(samePassword(f)); err != nil {
		return s.again(c, "setup", p, err)
	}
	u, err := s.register.Setup(c.Request.Context(), f.text("key"), f.text("login"), f.text("name"), f.raw("password"))
	if err != nil {
		return s.again(c, "setup", p, err)
	}
	return s.welcome(c, u, "/")
}

func (s *Server) showReset(c *gin.Context) error {
	p, err := s.resetPage(c, c.Query("key"))
	if err != nil {
		return err
	}
	p.Form = blank()
	p.Form.set("key", c.Query("key"))
	return s.show(c, "reset", p)
}

// resetPage begins the page of a link that still works.
func (s *Server) resetPage(c *gin.Context, key string) (*keyPage, error) {
	u, err := s.register.LinkUser(c.Request.Context(), key)
	return &keyPage{titled("Choose a password", "").retyped(), u.Login}, err
}

func (s *Server) reset(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.resetPage(c, f.text("key"))
	if err != nil {
		return err
	}
	p.Form = f
	if err := f.check(samePassword(f)); err != nil {
		return s.again(c, "reset", p, err)
	}
	u, err := s.register.UseLink(c.Request.Context(), f.text("key"), f.raw("password"))
	if err != nil {
		return s.again(c, "reset", p, err)
	}
	return s.welcome(c, u, "/")
}

// samePassword guards against a slip that nobody can see while typing.
func samePassword(f *form) error {
	var faults models.Faults
	if f.raw("password") != f.raw("password_again") {
		faults.Add("password_again", "The two passwords differ: type the same one twice.")
	}
	return faults.Err()
}

// localPath is a path of this site, "/" for anything else.
func localPath(p string) string {
	if !strings.HasPrefix(p, "/") || strings.HasPrefix(p, "//") || strings.ContainsAny(p, "\\\r\n\t") {
		return "/"
	}
	return p
}

// SetupPath is the address under which the first administrator sets up his
// account with a token of register.SetupLink.
func SetupPath(token string) string { return "/setup?key=" + token }

// resetPath is the address under which a person chooses a password.
func resetPath(token string) string { return "/reset?key=" + token }
