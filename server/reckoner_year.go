package server

import (
	"github.com/gin-gonic/gin"

	"drylag/models"
	"drylag/models/reckon"
)

// years are the climates that a question may name, with the one that is chosen
// on the shelf; nothing for a question without a year.
func (s *Server) years(c *gin.Context, q reckon.Quantity, chosen string) (models.Vocabulary, *reckon.Shelf, error) {
	if !q.AsksYear() {
		return nil, nil, nil
	}
	var names models.Vocabulary
	for _, name := range reckon.Climates() {
		names = append(names, models.Word{Code: name, Say: name})
	}
	return names, nil, nil
}
