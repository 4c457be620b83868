package results_test

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"strew/cmd/internal/results"
)

func TestSlug(t *testing.T) {
	for _, c := range []struct{ title, want string }{
		{"Ginkgo walk", "ginkgo-walk"},
		{"  Tide -- line, No. 2! ", "tide-line-no-2"},
		{"Schneckenwiese für Ü", "schneckenwiese-für-ü"},
		{"Ёлка и снег", "ёлка-и-снег"},
		{"銀杏 の 道", "銀杏-の-道"},
		{"हिन्दी नदी", "हिन्दी-नदी"}, // vowel signs belong to their letters
		{"cafe\u0301", "café"},       // composed
		{"\u0301 walk", "walk"},
		{"٣ أوراق", "٣-أوراق"},
		{"a/b\\c:d", "a-b-c-d"},
		{"../..", "skirt"},
		{"", "skirt"},
		{"!!!", "skirt"},
		{"CON", "skirt"},
		{" nul. ", "skirt"},
		{"Lpt1", "skirt"},
		{"con walk", "con-walk"},
	} {
		if got := results.Slug(c.title); got != c.want {
			t.Errorf("Slug(%q) = %q, want %q", c.title, got, c.want)
		}
	}
}

// Whatever the title, the name is one that every file system takes and that
// gives itself again.
func TestSlugIsAName(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		title := rapid.String().Draw(t, "title")
		got := results.Slug(title)
		if got == "" || len(got) > 200 || !utf8.ValidString(got) || strings.Contains(got, "--") || strings.Trim(got, "-") != got {
			t.Fatalf("Slug(%q) = %q", title, got)
		}
		for _, r := range got {
			if r != '-' && !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) {
				t.Fatalf("Slug(%q) = %q holds %q", title, got, r)
			}
		}
		if again := results.Slug(got); again != got {
			t.Fatalf("Slug(%q) = %q, but of itself %q", title, got, again)
		}
	})
}
