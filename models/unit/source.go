package unit

// Tag says how a formula or a number came here.
type Tag string

// The tags, from the firmest to the weakest.
const (
	Read      Tag = "read"                    // in the named text, or in a text quoting it
	Library   Tag = "computed with a library" // read in, and compared with, a general-purpose library
	Derived   Tag = "derived here"            // checkable, and checked by a test
	Practice  Tag = "common practice"         // usual on site, no source
	Memory    Tag = "from memory"             // to be confirmed by the owner's own copy before anyone relies on it
	Judgement Tag = "judgement"               // this project's choice, no source
)

// Source names where a number or a formula comes from: document, edition, table
// or equation. It is shown wherever the number is shown.
type Source struct {
	Text string
	Tag  Tag
}

// Tags lists the tags, from the firmest to the weakest.
func Tags() []Tag { return []Tag{Read, Library, Derived, Practice, Memory, Judgement} }

// String gives the text with its tag, as it is shown next to the number.
func (s Source) String() string { return s.Text + " (" + string(s.Tag) + ")" }

// Source is the named text with this tag.
func (t Tag) Source(text string) Source { return Source{Text: text, Tag: t} }
