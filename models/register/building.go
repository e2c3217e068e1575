package register

import (
	"context"

	"drylag/models"
)

// Buildings lists the actor's buildings with the owner's numbers, by name.
func (r *Register) Buildings(ctx context.Context, a models.Actor) ([]models.BuildingNumbers, error) {
	return nil, errUnfinished
}

// Building is one building.
func (r *Register) Building(ctx context.Context, a models.Actor, id models.ID) (models.Building, error) {
	return models.Building{}, errUnfinished
}

// SaveBuilding adds a building (Version 0) or changes one: Stale if it was
// changed meanwhile. Only an actor who sees all buildings may add one.
func (r *Register) SaveBuilding(ctx context.Context, a models.Actor, b models.Building) (models.Building, error) {
	return models.Building{}, errUnfinished
}

// Rooms lists a building's rooms in walking order with their counts.
func (r *Register) Rooms(ctx context.Context, a models.Actor, building models.ID) ([]models.RoomRow, error) {
	return nil, errUnfinished
}

// Room is one room.
func (r *Register) Room(ctx context.Context, a models.Actor, id models.ID) (models.Room, error) {
	return models.Room{}, errUnfinished
}

// SaveRoom adds a room (Version 0) or changes one.
func (r *Register) SaveRoom(ctx context.Context, a models.Actor, room models.Room) (models.Room, error) {
	return models.Room{}, errUnfinished
}

// Loops lists a building's piping loops by name.
func (r *Register) Loops(ctx context.Context, a models.Actor, building models.ID) ([]models.Loop, error) {
	return nil, errUnfinished
}

// Loop is one piping loop.
func (r *Register) Loop(ctx context.Context, a models.Actor, id models.ID) (models.Loop, error) {
	return models.Loop{}, errUnfinished
}

// SaveLoop adds a loop (Version 0) or changes one.
func (r *Register) SaveLoop(ctx context.Context, a models.Actor, l models.Loop) (models.Loop, error) {
	return models.Loop{}, errUnfinished
}
