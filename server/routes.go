package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"drylag/models"
)

// route is one line of what the service answers to.
type route struct {
	Method, Path string
	Act          models.Act // what the actor must be allowed to do
	Do           func(*Server, *gin.Context) error
	Body         int64 // most bytes of body; 0: formBytes
}

// public marks a route that needs no account. It is no act of models, so a
// route without an act is never open by accident.
const public models.Act = "public"

const (
	get  = http.MethodGet
	post = http.MethodPost
	put  = http.MethodPut
)

// routes is the one table of what the service answers to: what is not here
// does not exist. GET changes nothing.
var routes = []route{
	// static files, health
	{get, staticPath + ":version/*file", public, (*Server).showStatic, 0},
	{get, "/healthz", public, (*Server).live, 0},
	{get, "/readyz", public, (*Server).ready, 0},

	// log-in and the own account
	{get, "/login", public, (*Server).showLogin, 0},
	{post, "/login", public, (*Server).login, 0},
	{post, "/login/choice", public, (*Server).loginChoice, 0},
	{post, "/logout", public, (*Server).logout, 0},
	{get, "/setup", public, (*Server).showSetup, 0},
	{post, "/setup", public, (*Server).setup, 0},
	{get, "/reset", public, (*Server).showReset, 0},
	{post, "/reset", public, (*Server).reset, 0},
	{get, "/account", models.ActSelf, (*Server).showAccount, 0},
	{post, "/account/units", models.ActSelf, (*Server).setUnits, 0},
	{post, "/account/password", models.ActSelf, (*Server).changePassword, 0},
	{post, "/account/end", models.ActSelf, (*Server).endSessions, 0},

	// first page
	{get, "/", models.ActRead, (*Server).showMorning, 0},

	// covers and what is due
	{get, "/covers", models.ActRead, (*Server).listCovers, 0},
	{post, "/covers", models.ActRegister, (*Server).saveCover, 0},
	{get, "/covers/new", models.ActRegister, (*Server).newCover, 0},
	{get, "/covers/:id", models.ActRead, (*Server).showCover, 0},
	{get, "/covers/:id/edit", models.ActRegister, (*Server).editCover, 0},
	{get, "/due", models.ActRead, (*Server).showDue, 0},
	{get, "/deferrals/new", models.ActDefer, (*Server).showPutOff, 0},
	{post, "/deferrals", models.ActDefer, (*Server).putOff, 0},

	// buildings
	{get, "/buildings", models.ActTrend, (*Server).listBuildings, 0},
	{post, "/buildings", models.ActBuildings, (*Server).saveBuilding, 0},
	{get, "/buildings/new", models.ActBuildings, (*Server).newBuilding, 0},
	{get, "/buildings/:id", models.ActTrend, (*Server).showBuilding, 0},
	{get, "/buildings/:id/edit", models.ActBuildings, (*Server).editBuilding, 0},

	// rooms and loops
	{post, "/rooms", models.ActRegister, (*Server).saveRoom, 0},
	{get, "/rooms/new", models.ActRegister, (*Server).newRoom, 0},
	{get, "/rooms/:id", models.ActRegister, (*Server).editRoom, 0},
	{post, "/loops", models.ActRegister, (*Server).saveLoop, 0},
	{get, "/loops/new", models.ActRegister, (*Server).newLoop, 0},
	{get, "/loops/:id", models.ActRegister, (*Server).editLoop, 0},

	// JSON API
	{get, "/api/v1/openapi.json", public, (*Server).showOpenAPI, 0},
	{get, "/api/v1/me", models.ActSelf, (*Server).apiMe, 0},
	{get, "/api/v1/morning", models.ActRead, (*Server).apiMorning, 0},
	{get, "/api/v1/buildings", models.ActTrend, (*Server).apiBuildings, 0},
	{post, "/api/v1/buildings", models.ActBuildings, (*Server).apiAddBuilding, 0},
	{get, "/api/v1/buildings/:id", models.ActTrend, (*Server).apiBuilding, 0},
	{put, "/api/v1/buildings/:id", models.ActBuildings, (*Server).apiSaveBuilding, 0},
	{get, "/api/v1/buildings/:id/trend", models.ActTrend, (*Server).apiTrend, 0},
	{get, "/api/v1/buildings/:id/climates", models.ActRead, (*Server).apiClimates, 0},
	{get, "/api/v1/buildings/:id/rooms", models.ActRead, (*Server).apiRooms, 0},
	{get, "/api/v1/buildings/:id/loops", models.ActRead, (*Server).apiLoops, 0},
	{post, "/api/v1/rooms", models.ActRegister, (*Server).apiAddRoom, 0},
	{get, "/api/v1/rooms/:id", models.ActRead, (*Server).apiRoom, 0},
	{put, "/api/v1/rooms/:id", models.ActRegister, (*Server).apiSaveRoom, 0},
	{get, "/api/v1/rooms/:id/readings", models.ActRead, (*Server).apiRoomReadings, 0},
	{post, "/api/v1/rooms/:id/readings", models.ActRecord, (*Server).apiReadRoom, 0},
	{post, "/api/v1/loops", models.ActRegister, (*Server).apiAddLoop, 0},
	{get, "/api/v1/loops/:id", models.ActRead, (*Server).apiLoop, 0},
	{put, "/api/v1/loops/:id", models.ActRegister, (*Server).apiSaveLoop, 0},
	{get, "/api/v1/covers", models.ActRead, (*Server).apiCovers, 0},
	{post, "/api/v1/covers", models.ActRegister, (*Server).apiAddCover, 0},
	{get, "/api/v1/covers/:id", models.ActRead, (*Server).apiCover, 0},
	{put, "/api/v1/covers/:id", models.ActRegister, (*Server).apiSaveCover, 0},
	{get, "/api/v1/covers/:id/file", models.ActRead, (*Server).apiCoverFile, 0},
	{get, "/api/v1/covers/:id/physics", models.ActRead, (*Server).apiPhysics, 0},
	{get, "/api/v1/covers/:id/looks", models.ActRead, (*Server).apiLooks, 0},
	{get, "/api/v1/covers/:id/readings", models.ActRead, (*Server).apiWall, 0},
	{post, "/api/v1/covers/:id/readings", models.ActRecord, (*Server).apiReadWall, 0},
	{post, "/api/v1/openings", models.ActRecord, (*Server).apiRecordOpening, 0},
	{get, "/api/v1/openings/:id", models.ActRead, (*Server).apiOpening, 0},
	{put, "/api/v1/openings/:id", models.ActAmend, (*Server).apiAmendOpening, 0},
	{get, "/api/v1/openings/:id/versions", models.ActRead, (*Server).apiOpeningVersions, 0},
	{post, "/api/v1/looks", models.ActRecord, (*Server).apiRecordLook, 0},
	{get, "/api/v1/looks/:id", models.ActRead, (*Server).apiLook, 0},
	{get, "/api/v1/follow-ups", models.ActRead, (*Server).apiFollowUps, 0},
	{post, "/api/v1/follow-ups", models.ActFollowUp, (*Server).apiOpenFollowUp, 0},
	{get, "/api/v1/follow-ups/:id", models.ActRead, (*Server).apiFollowUp, 0},
	{post, "/api/v1/follow-ups/:id/close", models.ActFollowUp, (*Server).apiCloseFollowUp, 0},
	{get, "/api/v1/due", models.ActRead, (*Server).apiDue, 0},
	{post, "/api/v1/deferrals", models.ActDefer, (*Server).apiPutOff, 0},
	{post, "/api/v1/imports", models.ActImport, (*Server).apiTryImport, importBytes},
	{post, "/api/v1/imports/:key/store", models.ActImport, (*Server).apiStoreImport, 0},
	{get, "/api/v1/imports/:key/bad-rows", models.ActImport, (*Server).showBadRows, 0},
	{get, "/api/v1/reckon", models.ActRead, (*Server).apiQuantities, 0},
	{post, "/api/v1/reckon/:quantity", models.ActRead, (*Server).apiReckon, 0},
	{get, "/api/v1/policy", models.ActRead, (*Server).apiPolicy, 0},
	{put, "/api/v1/policy", models.ActPolicy, (*Server).apiSavePolicy, 0},
	{get, "/api/v1/scoring", models.ActPolicy, (*Server).apiScoring, 0},
	{post, "/api/v1/scoring", models.ActPolicy, (*Server).apiScoreAll, 0},
	{post, "/api/v1/scoring/stop", models.ActPolicy, (*Server).apiStopScoring, 0},
	{get, "/api/v1/people", models.ActPeople, (*Server).apiPeople, 0},
	{post, "/api/v1/people", models.ActPeople, (*Server).apiAddPerson, 0},
	{get, "/api/v1/people/:id", models.ActPeople, (*Server).apiPerson, 0},
	{put, "/api/v1/people/:id", models.ActPeople, (*Server).apiSavePerson, 0},
	{post, "/api/v1/people/:id/link", models.ActPeople, (*Server).apiLink, 0},
	{get, "/api/v1/events", models.ActBackup, (*Server).apiEvents, 0},
	{get, "/api/v1/backups", models.ActBackup, (*Server).apiBackups, 0},
	{post, "/api/v1/backups", models.ActBackup, (*Server).apiMakeBackup, 0},
	{post, "/api/v1/backups/:name/verify", models.ActBackup, (*Server).apiReadBackup, 0},
	{post, "/api/v1/verify", models.ActBackup, (*Server).apiVerify, 0},

	// engineering questions
	{get, "/reckoner", models.ActRead, (*Server).showReckoner, 0},
	{get, "/reckoner/:quantity", models.ActRead, (*Server).showQuantity, 0},

	// import
	{get, "/import", models.ActImport, (*Server).showImport, 0},
	{post, "/import", models.ActImport, (*Server).tryImport, importBytes},
	{post, "/import/store", models.ActImport, (*Server).storeImport, 0},
	{get, "/import/bad-rows/:key", models.ActImport, (*Server).showBadRows, 0},

	// constants of judgement
	{get, "/constants", models.ActPolicy, (*Server).showConstants, 0},
	{post, "/constants", models.ActPolicy, (*Server).saveConstants, 0},
	{post, "/constants/scores", models.ActPolicy, (*Server).scoreAll, 0},
	{post, "/constants/scores/stop", models.ActPolicy, (*Server).stopScoring, 0},

	// openings, looks, follow-ups
	{get, "/covers/:id/openings/new", models.ActRecord, (*Server).newOpening, 0},
	{post, "/openings", models.ActRecord, (*Server).createOpening, 0},
	{get, "/openings/:id", models.ActRead, (*Server).showOpening, 0},
	{get, "/openings/:id/amend", models.ActAmend, (*Server).amendOpening, 0},
	{post, "/openings/:id/amend", models.ActAmend, (*Server).saveAmendment, 0},
	{get, "/covers/:id/looks/new", models.ActRecord, (*Server).newLook, 0},
	{post, "/looks", models.ActRecord, (*Server).createLook, 0},
	{get, "/covers/:id/readings/new", models.ActRecord, (*Server).newReadings, 0},
	{post, "/readings", models.ActRecord, (*Server).createReadings, 0},
	{get, "/held", models.ActRegister, (*Server).listHeld, 0},
	{get, "/held/:id", models.ActRegister, (*Server).showHeld, 0},
	{post, "/held/:id/release", models.ActRegister, (*Server).releaseHeld, 0},
	{post, "/held/:id/reject", models.ActRegister, (*Server).rejectHeld, 0},
	{get, "/follow-ups", models.ActRead, (*Server).listFollowUps, 0},
	{post, "/follow-ups", models.ActFollowUp, (*Server).createFollowUp, 0},
	{get, "/covers/:id/follow-ups/new", models.ActFollowUp, (*Server).newFollowUp, 0},
	{get, "/follow-ups/:id/close", models.ActFollowUp, (*Server).askCloseFollowUp, 0},
	{post, "/follow-ups/:id/close", models.ActFollowUp, (*Server).closeFollowUp, 0},

	// people, backups, log
	{get, "/people", models.ActPeople, (*Server).listPeople, 0},
	{post, "/people", models.ActPeople, (*Server).addPerson, 0},
	{get, "/people/new", models.ActPeople, (*Server).newPerson, 0},
	{get, "/people/:id", models.ActPeople, (*Server).editPerson, 0},
	{post, "/people/:id", models.ActPeople, (*Server).savePerson, 0},
	{post, "/people/:id/link", models.ActPeople, (*Server).makeLink, 0},
	{post, "/people/:id/end", models.ActPeople, (*Server).endPersonSessions, 0},
	{get, "/backups", models.ActBackup, (*Server).listBackups, 0},
	{post, "/backups", models.ActBackup, (*Server).makeBackup, 0},
	{post, "/backups/verify", models.ActBackup, (*Server).verify, 0},
	{post, "/backups/read", models.ActBackup, (*Server).readBackup, 0},
	{get, "/log", models.ActBackup, (*Server).showLog, 0},
}

// navItem is a page of the navigation.
type navItem struct {
	Path, Text string
	Act        models.Act
	Waiting    bool // offered only while a record waits there
	Here       bool // the page that is shown
}

// nav is the navigation in its order; each is offered to whoever may open it.
var nav = []navItem{
	{Path: "/", Text: "Morning sheet", Act: models.ActRead},
	{Path: "/covers", Text: "Covers", Act: models.ActRead},
	{Path: "/due", Text: "Due", Act: models.ActRead},
	{Path: "/follow-ups", Text: "Follow-ups", Act: models.ActRead},
	{Path: "/held", Text: "Late records", Act: models.ActRegister, Waiting: true},
	{Path: "/buildings", Text: "Buildings", Act: models.ActTrend},
	{Path: "/reckoner", Text: "Reckoner", Act: models.ActRead},
	{Path: "/import", Text: "Import", Act: models.ActImport},
	{Path: "/constants", Text: "Constants", Act: models.ActPolicy},
	{Path: "/people", Text: "People", Act: models.ActPeople},
	{Path: "/backups", Text: "Backups", Act: models.ActBackup},
	{Path: "/log", Text: "Log", Act: models.ActBackup},
}

// navFor is the navigation of a role, with the page at marked; waiting tells
// whether records wait for the person.
func navFor(role models.Role, at string, waiting bool) []navItem {
	var out []navItem
	for _, n := range nav {
		n.Here = n.Path == at
		if models.May(role, n.Act) && (!n.Waiting || waiting || n.Here) {
			out = append(out, n)
		}
	}
	return out
}
