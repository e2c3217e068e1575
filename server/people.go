package server

import (
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

type peoplePage struct {
	shell
	People []person
}

// person is a line of the list of people.
type person struct {
	models.User
	Where []string // names of the buildings
}

type personPage struct {
	shell
	User      models.User // zero: a new one
	Buildings models.Vocabulary
}

// linkPage shows a one-time link, once.
type linkPage struct {
	shell
	User models.User
	Link string
}

func (s *Server) listPeople(c *gin.Context) error {
	users, err := s.register.Users(c.Request.Context(), actor(c))
	if err != nil {
		return err
	}
	buildings, err := s.buildingWords(c)
	if err != nil {
		return err
	}
	p := &peoplePage{shell: titled("People", "/people")}
	for _, u := range users {
		p.People = append(p.People, person{User: u, Where: where(u, buildings)})
	}
	return s.show(c, "people", p)
}

func where(u models.User, buildings models.Vocabulary) []string {
	if u.AllBuildings {
		return []string{"all"}
	}
	var names []string
	for _, b := range u.Buildings {
		names = append(names, buildings.Say(string(b)))
	}
	return names
}

func (s *Server) newPerson(c *gin.Context) error {
	p, err := s.newPersonPage(c, models.User{}, "New person")
	if err != nil {
		return err
	}
	p.Form = blank()
	return s.show(c, "person", p)
}

func (s *Server) addPerson(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	p, err := s.newPersonPage(c, models.User{}, "New person")
	if err != nil {
		return err
	}
	p.Form = f
	u := models.User{Login: f.text("login")}
	readPerson(f, &u)
	if err := f.check(u.Validate()); err != nil {
		return s.again(c, "person", p, err)
	}
	u, token, err := s.register.AddUser(c.Request.Context(), actor(c), u)
	if err != nil {
		return s.again(c, "person", p, err)
	}
	return s.showLink(c, u, token)
}

func (s *Server) editPerson(c *gin.Context) error {
	u, err := s.register.User(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p, err := s.newPersonPage(c, u, u.Name)
	if err != nil {
		return err
	}
	p.Form = personForm(u)
	return s.show(c, "person", p)
}

func (s *Server) savePerson(c *gin.Context) error {
	f, err := typed(c)
	if err != nil {
		return err
	}
	u, err := s.register.User(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	p, err := s.newPersonPage(c, u, u.Name)
	if err != nil {
		return err
	}
	p.Form = f
	readPerson(f, &u)
	u.Version = f.version()
	if err := f.check(u.Validate()); err != nil {
		return s.again(c, "person", p, err)
	}
	if u, err = s.register.SaveUser(c.Request.Context(), actor(c), u); err != nil {
		return s.again(c, "person", p, err)
	}
	s.said(c, "Saved. It holds from "+u.Name+"’s next request on.")
	return seeOther(c, "/people")
}

func (s *Server) makeLink(c *gin.Context) error {
	u, err := s.register.User(c.Request.Context(), actor(c), param(c, "id"))
	if err != nil {
		return err
	}
	token, err := s.register.ResetLink(c.Request.Context(), actor(c), u.ID)
	if err != nil {
		return err
	}
	return s.showLink(c, u, token)
}

func (s *Server) endPersonSessions(c *gin.Context) error {
	if err := s.register.EndSessions(c.Request.Context(), actor(c), param(c, "id")); err != nil {
		return err
	}
	s.said(c, "Logged out on every device.")
	return seeOther(c, "/people/"+string(param(c, "id")))
}

// showLink shows the link in the answer to the request that made it: no
// address leads there a second time.
func (s *Server) showLink(c *gin.Context, u models.User, token string) error {
	p := &linkPage{shell: titled("One-time link for "+u.Name, "/people"), User: u}
	p.Link = s.origin(c) + resetPath(token)
	return s.showStatus(c, http.StatusOK, "link", p)
}

// origin is this site's address as the browser wrote it.
func (s *Server) origin(c *gin.Context) string {
	if s.config.Secure {
		return "https://" + c.Request.Host
	}
	return "http://" + c.Request.Host
}

func (s *Server) newPersonPage(c *gin.Context, u models.User, title string) (*personPage, error) {
	buildings, err := s.buildingWords(c)
	return &personPage{shell: titled(title, "/people"), User: u, Buildings: buildings}, err
}

// buildingWords are the actor's buildings as answers to choose from.
func (s *Server) buildingWords(c *gin.Context) (models.Vocabulary, error) {
	list, err := s.register.BuildingNames(c.Request.Context(), actor(c))
	if err != nil {
		return nil, err
	}
	var out models.Vocabulary
	for _, b := range list {
		out = append(out, models.Word{Code: string(b.ID), Say: b.Name})
	}
	return out, nil
}

// readPerson reads what an administrator may set; a log-in name stays.
func readPerson(f *form, u *models.User) {
	u.Name = f.text("name")
	u.Role = models.Role(f.text("role"))
	u.AllBuildings = f.has("all_buildings")
	u.Buildings = f.ids("buildings")
	u.Until = f.date("until")
	u.Disabled = f.has("disabled")
}

func personForm(u models.User) *form {
	f := blank()
	f.set("login", u.Login)
	f.set("name", u.Name)
	f.set("role", string(u.Role))
	f.set("until", string(u.Until))
	f.set("version", strconv.Itoa(u.Version))
	f.setYesNo("all_buildings", &u.AllBuildings)
	f.setYesNo("disabled", &u.Disabled)
	for _, b := range u.Buildings {
		f.values.Add("buildings", string(b))
	}
	return f
}
