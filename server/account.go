package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
)

// unitSystems are the units a person can be shown.
var unitSystems = models.Vocabulary{
	{Code: "IP", Say: "US units: °F, in, psi"},
	{Code: "SI", Say: "SI units: °C, mm, kPa"},
}

type accountPage struct {
	shell
	Role    string
	Systems models.Vocabulary
}

func newAccountPage(a models.Actor) *accountPage {
	p := &accountPage{shell: titled("Your account", "/account").retyped(), Role: models.Roles.Say(string(a.Role)), Systems: unitSystems}
	p.Form = blank()
	p.Form.set("units", a.Units)
	return p
}

func (s *Server) showAccount(c *gin.Context) error {
	return s.show(c, "account", newAccountPage(actor(c)))
}

func (s *Server) setUnits(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	if err := s.register.SetUnits(c.Request.Context(), actor(c), f.text("units")); err != nil {
		return s.again(c, "account", newAccountPage(actor(c)), err)
	}
	s.said(c, "Quantities are shown in "+unitSystems.Say(f.text("units"))+" from now on.")
	return seeOther(c, "/account")
}

func (s *Server) changePassword(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p := newAccountPage(actor(c))
	if err := f.check(samePassword(f)); err != nil {
		return s.again(c, "account", p, err)
	}
	u, err := s.register.ChangePassword(c.Request.Context(), actor(c), f.raw("old_password"), f.raw("password"))
	if err != nil {
		return s.again(c, "account", p, err)
	}
	if err := s.start(c, u); err != nil {
		return err
	}
	s.said(c, "Your password is changed. Every other device is logged out.")
	return seeOther(c, "/account")
}

func (s *Server) endSessions(c *gin.Context) error {
	if err := s.register.EndSessions(c.Request.Context(), actor(c), actor(c).ID); err != nil {
		return err
	}
	s.end(c)
	return seeOther(c, "/login?out=1")
}
