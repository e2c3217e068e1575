package reckon

import "drylag/models/metal"

// Tag says how a formula or a number came here.
type Tag string

// The tags, from the firmest to the weakest.
const (
	Read      Tag = "read"                    // read in the named text
	Library   Tag = "computed with a library" // read in, and compared with, a general-purpose library
	Derived   Tag = "derived"                 // derived for this project, checked numerically
	Memory    Tag = "from memory"             // recalled; look it up before anyone relies on it
	Practice  Tag = "common practice"         // usual on site, no source
	Judgement Tag = "judgement"               // this project's choice, no source
)

// Source names where a method comes from: document, edition, equation or table.
type Source struct {
	Text string
	Tag  Tag
}

// String returns the text with its tag, as it is shown beside the number.
func (s Source) String() string { return s.Text + " (" + string(s.Tag) + ")" }

// fromMetal takes over a source of models/metal, whose tags are words of ours.
func fromMetal(s metal.Source) Source { return Source{s.Text, Tag(s.Tag)} }
