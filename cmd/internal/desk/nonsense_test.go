package desk

import (
	"maps"
	"regexp"
	"slices"
	"testing"

	"strew/cmd/internal/words"
)

// nonsense is what somebody may type who has something else in mind.
var nonsense = []string{"banana", "-5", "0", "1e9", "7 cmm", "1/0", `"`, "[", "🍌", "999999", "a = b", "1, 2, 3", "12 – 3 cm", "#12", "none", "true", "3 %"}

// ofTheFile is what only who writes the project file knows: names of tables and of keys
// in several words. What stands in brackets as an example, the page writes as it is
// typed there.
var ofTheFile = regexp.MustCompile(`\[\[?[a-z]+\]|[a-z]_[a-z]`)

// Whatever is typed into whichever control, it is taken or refused with words for
// somebody who has never seen the project file.
func TestNonsenseIsRefusedInPlainWords(t *testing.T) {
	s := sit(t)
	s.done(1)
	st, err := s.history.present.apply([]Edit{
		{Add: "bare", Values: map[string]string{"panel": "1"}},
		{Add: "fixed", Values: map[string]string{"motif": "ginkgo", "panel": "1", "down": "20 cm", "around": "20 cm"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, key := range slices.Sorted(maps.Keys(st.doc.Fields(nil))) {
		for _, text := range nonsense {
			with, err := st.apply([]Edit{{Key: key, Text: text}})
			if err != nil {
				t.Errorf("%s typed %q is not even kept: %v", key, text, err)
				continue
			}
			pr, err := with.project()
			if err == nil {
				continue
			}
			refused++
			if reason := words.Reason(pr, err); reason == "" || ofTheFile.MatchString(reason) {
				t.Errorf("%s typed %q: %s", key, text, reason)
			}
			if words.Blame(pr, err) == "" {
				t.Errorf("%s typed %q: no control is to blame for: %v", key, text, err)
			}
		}
	}
	if refused < 500 {
		t.Errorf("only %d were refused", refused)
	}
}
