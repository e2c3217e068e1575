package models

// Word pairs the code that is stored with what is said on screen and paper.
type Word struct{ Code, Say string }

// Vocabulary is a closed list of words in the order in which they are offered.
type Vocabulary []Word

// Has tells whether code is one of the words.
func (v Vocabulary) Has(code string) bool {
	for _, w := range v {
		if w.Code == code {
			return true
		}
	}
	return false
}

// Say gives the words for a code; an empty code is "not known".
func (v Vocabulary) Say(code string) string {
	for _, w := range v {
		if w.Code == code {
			return w.Say
		}
	}
	if code == "" {
		return "not known"
	}
	return code
}

// Check notes a fault if code is neither empty nor one of the words.
func (v Vocabulary) Check(f *Faults, field, code string) {
	if code != "" && !v.Has(code) {
		f.Add(field, "%q is not one of the answers", code)
	}
}
