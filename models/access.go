package models

import (
	"slices"
	"strings"
	"time"
)

// Role is what a person's account may do.
type Role string

// The roles.
const (
	Inspector Role = "inspector"
	Crew      Role = "crew" // an insulation contractor's people; access ends on a day
	Engineer  Role = "engineer"
	Owner     Role = "owner"
	Admin     Role = "admin"
)

// Roles in words.
var Roles = Vocabulary{
	{string(Inspector), "inspector"}, {string(Crew), "crew"}, {string(Engineer), "engineer"},
	{string(Owner), "owner"}, {string(Admin), "administrator"},
}

// Act is one thing a person can do with the record.
type Act string

// The acts. Everything the service does for a person is one of them.
const (
	ActRead      Act = "read"      // covers, openings, due
	ActTrend     Act = "trend"     // buildings' trends and money
	ActRecord    Act = "record"    // openings, looks, room readings
	ActFollowUp  Act = "follow_up" // open and close follow-ups
	ActAmend     Act = "amend"     // amend an opening
	ActRegister  Act = "register"  // add and edit covers, rooms, loops
	ActDefer     Act = "defer"     // put a due date off
	ActRound     Act = "round"     // plan, publish and close rounds
	ActImport    Act = "import"    // bring in registers, records, climates
	ActPolicy    Act = "policy"    // edit the constants of judgement
	ActBuildings Act = "buildings" // add and edit buildings
	ActPeople    Act = "people"    // accounts and building access
	ActBackup    Act = "backup"    // backups and the event log
	ActSelf      Act = "self"      // own password and units
)

// mayDo is the one table of who may do what. What is not here is denied.
var mayDo = map[Act][]Role{
	ActRead:      {Inspector, Crew, Engineer, Owner, Admin},
	ActTrend:     {Inspector, Engineer, Owner, Admin},
	ActRecord:    {Inspector, Crew, Engineer, Admin},
	ActFollowUp:  {Inspector, Engineer, Admin},
	ActAmend:     {Inspector, Engineer, Admin},
	ActRegister:  {Engineer, Admin},
	ActDefer:     {Engineer, Admin},
	ActRound:     {Engineer, Admin},
	ActImport:    {Engineer, Admin},
	ActPolicy:    {Engineer, Admin},
	ActBuildings: {Engineer, Admin},
	ActPeople:    {Admin},
	ActBackup:    {Admin},
	ActSelf:      {Inspector, Crew, Engineer, Owner, Admin},
}

// May tells whether a role may do an act.
func May(r Role, a Act) bool {
	for _, have := range mayDo[a] {
		if have == r {
			return true
		}
	}
	return false
}

// ActsOf are the acts that a role may do, by name.
func ActsOf(r Role) []Act {
	out := []Act{}
	for a := range mayDo {
		if May(r, a) {
			out = append(out, a)
		}
	}
	slices.Sort(out)
	return out
}

// User is a person's account.
type User struct {
	ID           ID
	Login        string
	Name         string
	Role         Role
	AllBuildings bool
	Buildings    []ID   // where not all
	Until        Date   // crew: last day of access, "" no end
	Units        string // "IP" or "SI"
	Disabled     bool
	Epoch        int // raised to end every session
	Version      int
	CreatedAt    time.Time
	LastSeen     time.Time
}

// Validate reports every fault at once.
func (u User) Validate() error {
	var f Faults
	f.Need("login", strings.TrimSpace(u.Login) != "", "Give a log-in name.")
	checkLen(&f, "login", u.Login, 60)
	if strings.ContainsAny(u.Login, " \t\r\n") {
		f.Add("login", "A log-in name has no spaces.")
	}
	f.Need("name", strings.TrimSpace(u.Name) != "", "Give the person's name.")
	checkLen(&f, "name", u.Name, 80)
	f.Need("role", u.Role != "", "Choose a role.")
	Roles.Check(&f, "role", string(u.Role))
	if u.Units != "" && u.Units != "IP" && u.Units != "SI" {
		f.Add("units", "IP or SI")
	}
	if !u.AllBuildings && len(u.Buildings) == 0 && u.Role != Admin {
		f.Add("buildings", "Choose at least one building, or all of them.")
	}
	return f.Err()
}

// Actor is the person on whose behalf something is done: who, in which role,
// in which buildings. The zero Actor may do nothing.
type Actor struct {
	ID        ID
	Name      string
	Login     string
	Role      Role
	All       bool
	Buildings []ID
	Units     string
}

// Actor is the user as one who acts.
func (u User) Actor() Actor {
	return Actor{ID: u.ID, Name: u.Name, Login: u.Login, Role: u.Role, Units: u.Units,
		All: u.AllBuildings, Buildings: u.Buildings}
}

// Sees tells whether the building is in the actor's scope.
func (a Actor) Sees(building ID) bool {
	if a.All {
		return true
	}
	for _, b := range a.Buildings {
		if b == building {
			return true
		}
	}
	return false
}

// May says with an error why the actor may not do the act, nil if he may.
func (a Actor) May(act Act) error {
	if a.ID == None {
		return Errorf(SignIn, "Log in first.")
	}
	if !May(a.Role, act) {
		return Errorf(Denied, "Your role (%s) does not allow this.", Roles.Say(string(a.Role)))
	}
	return nil
}

// Event is one line of the append-only log. Each carries the SHA-256 of the
// one before, so that a change anywhere shows.
type Event struct {
	Seq      int64
	At       time.Time
	Actor    ID
	Act      string // "opening recorded", "cover edited" ...
	Subject  string // "cover", "opening", "user" ...
	Of       ID
	Building ID     // None: the whole organization
	Detail   string // canonical JSON of what changed
	Prev     string
	Hash     string
}
