package plan

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
)

// Earlier lists the files that an earlier run wrote to dir, as its plan.json
// says; none where there is no plan.json of ours.
func Earlier(dir string) []string {
	data, err := os.ReadFile(filepath.Join(dir, PlanFile))
	if err != nil {
		return nil
	}
	var doc struct {
		Format string   `json:"format"`
		Files  []string `json:"files"`
	}
	if json.Unmarshal(data, &doc) != nil || !strings.HasPrefix(doc.Format, "strew-plan/") {
		return nil
	}
	return doc.Files
}
