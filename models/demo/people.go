package demo

import "drylag/models"

// demoPassword is shown on the log-in page of the demo, which answers to its
// own machine only.
const demoPassword = "demo on this machine"

// cast are the invented people.
var cast = []struct {
	login, name, say string
	role             models.Role
}{
	{"inspector", "Ines Calder", "Inspector: opens covers and records what is under them", models.Inspector},
	{"engineer", "Emil Varga", "Engineer: plans what to open next and looks after the register", models.Engineer},
	{"owner", "Odile Marsh", "Owner: sees how each building is doing", models.Owner},
	{"crew", "Cato Brandt", "Crew: the insulation contractor's people", models.Crew},
}

// hirePeople makes the administrator and everybody else.
func (p *play) hirePeople() ([]Person, error) {
	key, err := p.reg.SetupLink(p.ctx)
	if err != nil {
		return nil, err
	}
	first, err := p.reg.Setup(p.ctx, key, "admin", "Ada Winter", demoPassword)
	if err != nil {
		return nil, err
	}
	p.admin = first.Actor()
	people := []Person{}
	for _, c := range cast {
		user, err := p.hire(c.login, c.name, c.role)
		if err != nil {
			return nil, err
		}
		if c.role == models.Inspector || c.role == models.Crew {
			p.crew = append(p.crew, user.Actor())
		}
		people = append(people, Person{c.login, demoPassword, c.say})
	}
	return append(people, Person{"admin", demoPassword, "Administrator: accounts, backups, the log"}), nil
}

func (p *play) hire(login, name string, role models.Role) (models.User, error) {
	u := models.User{Login: login, Name: name, Role: role, AllBuildings: true, Units: "IP"}
	if role == models.Crew {
		u.Until = p.today.AddDays(60)
	}
	_, key, err := p.reg.AddUser(p.ctx, p.admin, u)
	if err != nil {
		return models.User{}, err
	}
	return p.reg.UseLink(p.ctx, key, demoPassword)
}
