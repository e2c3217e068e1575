package server

import (
	"net/http"
	"time"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// personJSON is an account as an administrator edits it.
type personJSON struct {
	kept
	Login     string      `json:"login"`
	Name      string      `json:"name"`
	Role      string      `json:"role"`
	All       bool        `json:"all_buildings"`
	Buildings []models.ID `json:"building_ids,omitempty"` // where not all
	Until     models.Date `json:"until,omitempty"`        // last day of access
	Units     string      `json:"units,omitempty"`        // IP or SI
	Disabled  bool        `json:"disabled"`
}

// personRowJSON is a line of the list of people.
type personRowJSON struct {
	personJSON
	CreatedAt time.Time  `json:"created_at"`
	LastSeen  *time.Time `json:"last_seen,omitempty"`
}

// linkedJSON is an account with the one-time link with which its person chooses
// a password. The link is told once.
type linkedJSON struct {
	personJSON
	Link string `json:"link"`
}

var personNames = map[string]string{"buildings": "building_ids"}

func (j personJSON) user(id models.ID, version int) models.User {
	return models.User{ID: id, Version: version, Login: j.Login, Name: j.Name, Role: models.Role(j.Role), AllBuildings: j.All,
		Buildings: j.Buildings, Until: j.Until, Units: j.Units, Disabled: j.Disabled}
}

func personFrom(u models.User) personJSON {
	return personJSON{kept{u.ID, u.Version}, u.Login, u.Name, string(u.Role), u.AllBuildings, u.Buildings, u.Until, u.Units, u.Disabled}
}

func (s *Server) apiPeople(c *gin.Context) error {
	list, err := s.register.Users(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusOK, map[string][]personRowJSON{"people": each(list, func(u models.User) personRowJSON {
		return personRowJSON{personFrom(u), u.CreatedAt.UTC(), instant(u.LastSeen)}
	})})
}

func (s *Server) apiPerson(c *gin.Context) error {
	u, err := s.register.User(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.version(c, u.Version, personFrom(u))
}

func (s *Server) apiAddPerson(c *gin.Context) error {
	var sent personJSON
	if err := add(c, &sent, &sent.kept); err != nil {
		return err
	}
	u, token, err := s.register.AddUser(c.Request.Context(), actor(c), sent.user(models.None, 0))
	if err != nil {
		return named(err, personNames)
	}
	return s.added(c, "people", u.ID, u.Version, linkedJSON{personFrom(u), s.origin(c) + resetPath(token)})
}

func (s *Server) apiSavePerson(c *gin.Context) error {
	var sent personJSON
	version, err := edit(c, &sent, &sent.kept)
	if err != nil {
		return err
	}
	u, err := s.register.SaveUser(c.Request.Context(), actor(c), sent.user(param(c, "id"), version))
	if err != nil {
		return named(err, personNames)
	}
	return s.saved(c, u.Version, personFrom(u))
}

// apiLink makes a new one-time link for a person; one made before ends.
func (s *Server) apiLink(c *gin.Context) error {
	token, err := s.register.ResetLink(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	return s.answer(c, http.StatusCreated, map[string]string{"link": s.origin(c) + resetPath(token)})
}

// meJSON is who asks.
type meJSON struct {
	ID        models.ID    `json:"id"`
	Login     string       `json:"login"`
	Name      string       `json:"name"`
	Role      string       `json:"role"`
	All       bool         `json:"all_buildings"`
	Buildings []models.ID  `json:"building_ids,omitempty"` // where not all
	Units     string       `json:"units"`
	May       []models.Act `json:"may"` // what the role allows
}

func (s *Server) apiMe(c *gin.Context) error {
	a := actor(c)
	me := meJSON{ID: a.ID, Login: a.Login, Name: a.Name, Role: string(a.Role), All: a.All, Buildings: a.Buildings, Units: a.Units, May: models.ActsOf(a.Role)}
	return s.answer(c, http.StatusOK, me)
}
